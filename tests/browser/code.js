// Reading a QR code as a stranger's phone does: an outside decoder on a picture of what is shown.

import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';

const run = promisify(execFile);

/** The text of the one code in a picture (PNG or PGM). */
export async function decoded(picture, ending) {
  const folder = await mkdtemp(join(tmpdir(), 'putby-code-'));
  try {
    const file = join(folder, `shown.${ending}`);
    await writeFile(file, picture);
    const { stdout } = await run('zbarimg', ['--quiet', '--raw', file]);
    return stdout.trim();
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

const DOT = 6;
const HALVES = { ' ': [0, 0], '▀': [1, 0], '▄': [0, 1], '█': [1, 1] };
const isBlocks = (line) => line !== '' && [...line].every((one) => one in HALVES);

/** The block characters among lines of a terminal as a PGM picture, light ink on dark ground. */
export function pictureOfBlocks(lines) {
  const rows = lines
    .filter(isBlocks)
    .flatMap((line) => [0, 1].map((half) => [...line].map((one) => HALVES[one][half])));
  const width = Math.max(...rows.map((row) => row.length));
  const dots = rows.flatMap((row) => {
    const line = Array.from({ length: width * DOT }, (_, x) => (row[Math.floor(x / DOT)] ? 255 : 0));
    return Array.from({ length: DOT }, () => line).flat();
  });
  const head = `P5 ${width * DOT} ${rows.length * DOT} 255\n`;
  return Buffer.concat([Buffer.from(head), Buffer.from(dots)]);
}
