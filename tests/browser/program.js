// The program that is tried from outside, built once.

import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
let built = null;

/** The program; `PUTBY_BIN` names one that is built already. */
export function program() {
  if (process.env.PUTBY_BIN) return process.env.PUTBY_BIN;
  built ??= JSON.parse(
    execFileSync('cargo', ['build', '--locked', '--quiet', '--message-format=json'], {
      cwd: ROOT,
      encoding: 'utf8',
      maxBuffer: 1 << 28,
      stdio: ['ignore', 'pipe', 'inherit'],
    })
      .split('\n')
      .find((line) => line.includes('"executable":"')),
  ).executable;
  return built;
}
