// Every part that a page draws is known where it is drawn: a name without an import is found only
// when that part is first shown, which may be in somebody's kitchen.

import test from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';

const WEB = new URL('../../web/', import.meta.url);
const files = readdirSync(WEB, { recursive: true }).filter(
  (path) => path.endsWith('.js') && !path.startsWith('vendor'),
);

/** The parts that a file draws, and among them those that it neither imports nor makes. */
function drawn(source) {
  const code = source.replaceAll(/^\s*\/\/.*$/gm, '');
  const imports = [...code.matchAll(/import\s*\{([^}]*)\}/g)].flatMap(([, names]) =>
    names.split(',').map((name) => name.trim().split(' as ').at(-1)),
  );
  const made = [...code.matchAll(/(?:function|const|let|class)\s+([A-Z]\w*)/g)].map((one) => one[1]);
  const used = [...code.matchAll(/<\$\{([A-Z]\w*)\}/g)].map((one) => one[1]);
  return { used, unknown: used.filter((name) => !imports.includes(name) && !made.includes(name)) };
}

test('every part that is drawn is imported or made in its file', () => {
  const all = files.map((path) => [path, drawn(readFileSync(new URL(path, WEB), 'utf8'))]);
  assert.ok(all.flatMap(([, { used }]) => used).length > 300);
  const wrong = all.filter(([, { unknown }]) => unknown.length);
  assert.deepEqual(wrong.map(([path, { unknown }]) => `${path}: ${unknown}`), []);
});

test('a part without an import is found', () => {
  assert.deepEqual(drawn('const a = html`<${Problem} app=${app} />`').unknown, ['Problem']);
  assert.deepEqual(drawn("import { Mark } from './m.js';\nhtml`<${Mark} />`").unknown, []);
});
