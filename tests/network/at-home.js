// A board on the first of two computers on a network of their own, and whatever is run on the second.

import { execFile } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { program } from '../browser/program.js';

export const HERE = fileURLToPath(new URL('.', import.meta.url));
/** Long enough for a busy machine; reached only by a test that fails. */
export const LIMIT_S = 60;
export const run = promisify(execFile);

/**
 * A board on the first computer and `second` on the other. `said` is what the second printed, line
 * by line as JSON, and `terminal` what the board did.
 */
export async function atHome(second, more = '', limitS = LIMIT_S) {
  const folder = await mkdtemp(join(tmpdir(), 'putby-network-'));
  const serve = (name, rest) => `${program()} serve --data ${folder}/${name} ${rest}`;
  const first = `${serve('one', `--listen 0.0.0.0:8080 ${more}`)} >${folder}/terminal`;
  const greeted = `until grep -q Ctrl-C ${folder}/terminal; do sleep 0.05; done`;
  try {
    const { stdout } = await run(
      'unshare',
      ['--map-root-user', '--net', 'bash', `${HERE}two-computers.sh`, first].concat(
        `${greeted}; ${second(serve)}; cat ${folder}/terminal`,
      ),
      { timeout: limitS * 1000, env: { ...process.env, FOLDER: folder } },
    );
    const lines = stdout.trim().split('\n');
    return {
      said: lines.filter((line) => line.startsWith('{')).map((line) => JSON.parse(line)),
      terminal: lines.filter((line) => !line.startsWith('{')).join('\n'),
    };
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
