// Two languages that say the same: every key, every parameter, nothing left in English; one and
// many; names that the program itself gives.

import test from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';
import firstEnglish from '../../web/words/en.js';
import firstSpanish, { names, refusals } from '../../web/words/es.js';
import * as english from '../../web/words/en.js';
import * as spanish from '../../web/words/es.js';
import { alsoSpeak, given, refusalWords, speak, spokenNow, t } from '../../web/words/words.js';
import { carried } from '../../web/core/format.js';
import { inTongue } from '../../web/core/given.js';

const WORDS = new URL('../../web/words/', import.meta.url);
const PARTS = readdirSync(WORDS, { withFileTypes: true })
  .filter((one) => one.isDirectory())
  .map(({ name }) => name);

/** All words of a language: those of the first load and of every part. */
async function wordsIn(language, first) {
  const parts = await Promise.all(PARTS.map((part) => import(new URL(`${part}/${language}.js`, WORDS))));
  return Object.assign({}, first, ...parts.map((part) => part.default));
}

const en = await wordsIn('en', firstEnglish);
const es = await wordsIn('es', firstSpanish);

const plain = (text) => text.replaceAll('\u00a0', ' ');

/** Values that are the same in both languages, because both say so; and those with no words. */
const TRULY_EQUAL = [
  'name',
  'soft.sent',
  'box.stands',
  'measure.lb',
  'measure.oz',
  'measure.kg',
  'measure.g',
  'measure.qt',
  'measure.l',
  'measure.ml',
  'device.units-us',
  'device.units-metric',
  'unit.psi',
  'unit.psi-kpa',
  'unit.f',
  'unit.f-c',
  'jar-name.beside',
  'package.lb',
  'package.kg',
  'package.qt',
  'package.l',
  'progress-open.lb',
  'progress-open.kg',
  'progress-open.qt',
  'progress-open.l',
  'span.seconds',
  'span.minutes',
  'span.hours',
  'load.holds',
  'minutes.short',
  'needs-you.there',
  'step.way',
];
const NO_WORDS = ['box.stands'];

/** The parameters of a value: those in braces, or those its function takes out of what it gets. */
function parametersOf(value) {
  const seen = new Set();
  if (typeof value === 'function') {
    value(
      new Proxy(
        {},
        {
          get: (_, name) => {
            seen.add(name);
            return 'x';
          },
        },
      ),
    );
  } else for (const [, name] of value.matchAll(/\{(\w+)[?}]/g)) seen.add(name);
  return [...seen].sort();
}

test('Spanish has the keys of English and no others', () => {
  assert.deepEqual(
    Object.keys(en).filter((key) => !(key in es)),
    [],
  );
  assert.deepEqual(
    Object.keys(es).filter((key) => !(key in en)),
    [],
  );
});

test('no key is written twice, where the later would silently win', () => {
  for (const language of ['en', 'es']) {
    const files = ['', ...PARTS.map((part) => `${part}/`)];
    const keys = files.flatMap((folder) => {
      const body = readFileSync(new URL(`${folder}${language}.js`, WORDS), 'utf8');
      return [...body.split('export default {')[1].matchAll(/^ {2}(?:'([^']+)'|(\w+)):/gm)].map(
        (one) => one[1] ?? one[2],
      );
    });
    assert.ok(keys.length > 500, `${keys.length} keys were read`);
    assert.deepEqual(keys.filter((key, n) => keys.indexOf(key) !== n), [], language);
  }
});

test('both say the same parameters', () => {
  const unlike = Object.keys(en)
    .filter((key) => key in es)
    .filter((key) => String(parametersOf(en[key])) !== String(parametersOf(es[key])));
  assert.deepEqual(unlike, []);
});

test('nothing is empty, and nothing is left in English but what is the same in both', () => {
  for (const [name, words] of Object.entries({ en, es }))
    assert.deepEqual(
      Object.keys(words).filter(
        (key) => typeof words[key] === 'string' && !words[key].trim() && !NO_WORDS.includes(key),
      ),
      [],
      name,
    );
  const same = Object.keys(en).filter((key) => String(en[key]) === String(es[key]));
  assert.deepEqual(same.sort(), [...TRULY_EQUAL].sort());
});

test('words of a part are known once it has come, and are spoken in the language chosen', async () => {
  for (const [file, language, title] of [
    [spanish, 'es', 'Repaso'],
    [english, 'en', 'Look back'],
  ]) {
    speak(file);
    assert.equal(t('look-back.title'), 'look-back.title');
    const part = await import(`../../web/words/season/${language}.js`);
    alsoSpeak(part);
    assert.equal(t('look-back.title'), title);
    speak(file, [part]);
    assert.equal(t('look-back.title'), title);
  }
});

test('one and many are told apart in each language', () => {
  speak(spanish);
  assert.equal(spokenNow(), 'es');
  assert.equal(t('seals.jars', { n: 1 }), '1 frasco');
  assert.equal(t('seals.jars', { n: 0 }), '0 frascos');
  assert.equal(t('seals.jars', { n: 1.5 }), '1.5 frascos');
  assert.deepEqual(
    [
      [500, 'bowl'],
      [1000, 'bowl'],
      [2000, 'bowl'],
      [3000, 'colander'],
      [2000, 'rack of jars'],
      [2000, 'jarra azul'],
    ].map(([amount, name]) => plain(carried(amount, name))),
    [
      '½ tazón',
      '1 tazón',
      '2 tazones',
      '3 coladores',
      '2 rejillas de frascos',
      '2 jarras azules',
    ],
  );
  assert.equal(t('day.until', { at: '1:05 p.m.' }), 'hasta la 1:05 p.m.');
  assert.equal(t('day.until', { at: '11:05 a.m.' }), 'hasta las 11:05 a.m.');
  assert.equal(
    t('warning.cut-off', { at: '1:05 p.m.' }),
    'El trabajo debía terminar a la 1:05 p.m.',
  );
  speak(english);
  assert.equal(t('seals.jars', { n: 1 }), '1 jar');
  assert.equal(t('seals.jars', { n: 2 }), '2 jars');
});

/** All the texts a person reads in the ready kitchens. */
function namesIn(value, list = []) {
  if (Array.isArray(value)) value.forEach((one) => namesIn(one, list));
  else if (value && typeof value === 'object')
    for (const [key, inside] of Object.entries(value)) {
      const read = ['name', 'about', 'unit', 'produce'].includes(key);
      if (read && typeof inside === 'string') list.push(inside);
      else namesIn(inside, list);
    }
  return list;
}

test('every name in a ready kitchen has its Spanish one', () => {
  const folder = new URL('../../fixtures/kitchens/', import.meta.url);
  const read = readdirSync(folder).flatMap((file) =>
    namesIn(JSON.parse(readFileSync(new URL(file, folder), 'utf8'))),
  );
  assert.ok(read.length > 50);
  assert.deepEqual(
    read.filter((name) => !names[name]),
    [],
  );
});

test('a name that people typed stays as it is', () => {
  speak(spanish);
  assert.equal(given('Wash fruit'), 'Lavar la fruta');
  assert.equal(given('Aunt May’s bench'), 'Aunt May’s bench');
  assert.equal(given('constructor'), 'constructor');
  speak(english);
  assert.equal(given('Wash fruit'), 'Wash fruit');
});

const source = (path) => readFileSync(new URL(`../../src/${path}`, import.meta.url), 'utf8');
const kebab = (name) => name.replace(/(?!^)([A-Z])/g, '-$1').toLowerCase();

/** Codes that only programs meet: no page of ours can cause them. */
const FOR_PROGRAMS = ['not-json', 'too-long', 'wrong-method', 'no-upgrade'];

/** Every code a page can be refused with, as the sources have them. */
function codes() {
  const rules = source('day/refusal.rs').match(/pub enum Code \{([^}]*)\}/)[1];
  const ofRules = [...rules.matchAll(/^ {4}([A-Z]\w+),$/gm)].map(([, name]) => kebab(name));
  const folder = new URL('../../src/server/', import.meta.url);
  const ofServer = readdirSync(folder)
    .filter((file) => file.endsWith('.rs'))
    .flatMap((file) =>
      [
        ...source(`server/${file}`).matchAll(
          /(?:StatusCode::\w+|status|Problem::unavailable\()[,\s]*"([a-z-]+)"/g,
        ),
      ].map(([, code]) => code),
    );
  return [...new Set([...ofRules, ...ofServer])].filter((code) => !FOR_PROGRAMS.includes(code));
}

test('every refusal of the shelf has words in both languages', () => {
  const rules = source('shelf/refusal.rs').match(/pub enum Code \{([^}]*)\}/)[1];
  const all = [...rules.matchAll(/^ {4}([A-Z]\w+),$/gm)].map(([, name]) => kebab(name));
  assert.ok(all.length > 8, `only ${all.length} codes found`);
  const missing = (words) => all.filter((code) => !words[`shelf.no.${code}`] && !refusals[code]);
  assert.deepEqual([missing(en), missing(es)], [[], []]);
});

test('every refusal has Spanish words, with and without its parameters', () => {
  const all = codes();
  assert.ok(all.length > 60, `only ${all.length} codes found`);
  assert.deepEqual(
    all.filter((code) => !refusals[code]),
    [],
  );
  speak(spanish);
  const everything = new Proxy(
    {},
    {
      ownKeys: () => ['station', 'helper', 'product', 'pot'],
      getOwnPropertyDescriptor: () => ({ enumerable: true, configurable: true }),
      get: () => 'X',
    },
  );
  for (const code of all) {
    const { what, instead } = refusalWords(code, everything) ?? refusalWords(code) ?? {};
    const needed = refusals[code][0].every((sentence) => /\{/.test(sentence));
    if (!what) assert.ok(needed, code);
    else assert.ok(instead && !/[{}]/.test(what + instead), code);
  }
  speak(english);
  assert.equal(refusalWords('seat-taken'), null);
});

test('a refusal takes the sentence whose parameters were sent', () => {
  speak(spanish);
  const what = (code, words) => refusalWords(code, words)?.what;
  assert.equal(
    what('not-enough', { station: 'Wash fruit', product: 'Pear halves, quarts' }),
    'De Peras en mitades, cuartos no espera tanto en Lavar la fruta.',
  );
  assert.equal(what('not-enough', { station: 'Wash fruit' }), 'En Lavar la fruta no espera nada.');
  assert.equal(what('not-enough', {}), 'No hay tanto allí.');
  assert.equal(refusalWords('supply-out', {}), null);
  assert.equal(refusalWords('constructor', {}), null);
  speak(english);
});

test('a view is read in the language spoken, and only there', () => {
  const view = {
    day: { name: 'Orchard day' },
    stations: {
      wash: { name: 'Wash fruit', nature: { is: 'hand' } },
      cook: { name: 'Our stove', pots: { big: { name: 'Blue 12-quart pot' } } },
    },
    products: { q: { name: 'Plum purée', route: [{ carrier: { name: 'bowl', holds: 1 } }] } },
    lots: { hill: { name: 'Hill orchard pears' } },
    helpers: { strain: { name: 'Strain' } },
    chores: {
      'pot-1': {
        kind: { about: 'dirty-pot', station: 'cook', pot: 'big' },
        text: 'Wash Blue 12-quart pot',
      },
      'ask-jars-x1': { kind: { about: 'asked' }, text: 'Clean jars' },
      'asked-x2': { kind: { about: 'asked' }, text: 'Find the cat' },
    },
  };
  speak(spanish);
  const read = inTongue(view);
  assert.equal(read.stations.wash.name, 'Lavar la fruta');
  assert.equal(read.stations.cook.name, 'Our stove');
  assert.equal(read.products.q.route, view.products.q.route);
  assert.equal(read.helpers, view.helpers);
  assert.deepEqual(
    Object.values(read.chores).map((chore) => chore.text),
    ['Lavar Olla azul de 12 cuartos', 'Frascos limpios', 'Find the cat'],
  );
  assert.equal(inTongue(view).stations, read.stations);
  assert.equal(view.stations.wash.name, 'Wash fruit');
  speak(english);
  assert.equal(inTongue(view).stations, view.stations);
  assert.equal(inTongue(view).chores['pot-1'].text, 'Wash Blue 12-quart pot');
  assert.equal(inTongue(null), null);
});
