// The look back's figures as bands, bars and sentences; what was learned as corrections.

import test from 'node:test';
import assert from 'node:assert/strict';
import season from '../../web/words/season/en.js';
import * as spanish from '../../web/words/es.js';
import * as english from '../../web/words/en.js';
import { alsoSpeak, speak } from '../../web/words/words.js';
import { flowBands } from '../../web/core/flow-bands.js';
import {
  backInTongue,
  personWords,
  stationsReady,
  timesOf,
  timesWords,
  togetherWords,
  tryWords,
} from '../../web/core/look-back.js';
import {
  forgetting,
  GROUPS,
  lessonTitle,
  lessonWords,
  setting,
  typedNumber,
} from '../../web/core/learned.js';

alsoSpeak({ default: season });
const MIN = 60000;
const plain = (text) => text.replaceAll('\u00a0', ' ');

/** Ten quarts' worth of pears wash within ten minutes, are jars after five more, are done at 30. */
const FLOW = {
  stages: [
    {
      station: 'wash',
      packages: 0.4,
      points: [
        [0, 25000, 0],
        [10 * MIN, 25000, 25000],
      ],
    },
    {
      station: 'fill',
      packages: 1,
      points: [
        [10 * MIN, 10000, 0],
        [15 * MIN, 10000, 4000],
        [30 * MIN, 10000, 10000],
      ],
    },
  ],
  finished: [
    [15 * MIN, 4000],
    [30 * MIN, 10000],
  ],
};

/** The area of a band between its moments, in package-minutes. */
function area({ moments, layers }, number) {
  return moments
    .slice(1)
    .reduce((sum, at, i) => sum + layers[number].thick[i] * ((at - moments[i]) / 60), 0);
}

test('bands stand upon each other, the last station lowest but for what is finished', () => {
  const bands = flowBands(FLOW, 0, 40 * MIN);
  assert.deepEqual(
    bands.layers.map(({ station }) => station),
    [null, 'fill', 'wash'],
  );
  const top = bands.layers.at(-1).top;
  assert.deepEqual([...new Set(top.map((n) => Math.round(n * 1e6) / 1e6))], [10]);
});

test('the area of a band is the sum of the stays there, as Little has it', () => {
  const bands = flowBands(FLOW, 0, 40 * MIN);
  // Ten for ten minutes; four for five and six for twenty.
  assert.ok(Math.abs(area(bands, 2) - 10 * 10) < 1e-9);
  assert.ok(Math.abs(area(bands, 1) - (4 * 5 + 6 * 20)) < 1e-9);
});

test('what cannot be told in packages has no bands', () => {
  assert.equal(flowBands({ stages: [{ station: 'a', points: [] }] }, 0, 9), null);
  assert.equal(flowBands(undefined, 0, 9), null);
  assert.equal(flowBands(FLOW, 5, 5), null);
});

const BACK = {
  open_ms: 100 * MIN,
  products: { pears: 'Pears' },
  stations: {
    wash: {
      name: 'Wash',
      busy_ms: 40 * MIN,
      starved_ms: 30 * MIN,
      blocked_ms: 0,
      unstaffed_ms: 20 * MIN,
      paused_ms: 10 * MIN,
      put_away_ms: 0,
      done_carriers: 12000,
      carrier: 'bowl',
    },
    mill: { name: 'Mill', put_away_ms: 100 * MIN, done_carriers: 0 },
  },
  helpers: {
    a: { name: 'Wren', stations: { wash: 90 * MIN }, chores: 2 },
    b: { name: 'Bo', stations: { wash: 10 * MIN }, chores: 0 },
    c: { name: 'Osk', stations: {}, chores: 0 },
  },
};

test('the bar of a station is as long as the day, without gap', () => {
  const parts = timesOf(BACK.stations.wash, BACK.open_ms);
  let end = 0;
  for (const { from, share } of parts) {
    assert.ok(Math.abs(from - end) < 1e-12);
    end = from + share;
  }
  assert.ok(Math.abs(end - 1) < 1e-12);
  assert.deepEqual(
    stationsReady(BACK).map(([id]) => id),
    ['wash'],
  );
  assert.equal(
    plain(timesWords(BACK.stations.wash, BACK.open_ms)),
    'Wash: Busy 40 min, Waited for work 30 min, Work, but nobody there 20 min and Paused for a break 10 min',
  );
});

test('people are told by name, never by how much they did', () => {
  assert.deepEqual(personWords(BACK).map(plain), [
    'Bo gave 10 min at Wash. Thank you.',
    'Osk was on the list of the day.',
    'Wren gave 1 h 30 min at Wash and 2 chores. Thank you.',
  ]);
  assert.equal(plain(togetherWords(BACK)), 'Together: 12 bowls at Wash.');
  assert.equal(togetherWords({}), '');
});

test('each thing to try is said with its minutes', () => {
  const one = { try: 'load-sooner', station: 'wash', ms: 31 * MIN, ready_ms: 90 * MIN, gaps: 1 };
  const { what, why } = tryWords(BACK, one);
  assert.match(what, /^Wash: have the next load filled/);
  assert.equal(plain(why), 'Between loads the canners stood idle 31 min, in 1 gap.');
  for (const name of ['another-canner', 'another-pot', 'feed-sooner', 'open-sooner', 'cook-sooner', 'more-hands', 'clear-behind']) {
    const said = tryWords(BACK, { ...one, try: name, loads: 3 });
    assert.match(said.what, /^Wash: /, name);
    assert.match(plain(said.why), /31 min/, name);
  }
});

const HEATING = { of: 'heating', station: 'can', value: 31.26, usual: 25, counts: 1.5 };
const SPEED = { of: 'speed', helper: 'bo', station: 'wash', value: 0.8, usual: 1, counts: 1 };

test('a lesson is told in minutes or percent, with what it rests on', () => {
  const list = { stations: { can: 'Canners', wash: 'Wash' }, helpers: { bo: 'Bo' } };
  assert.equal(
    lessonTitle(list, HEATING),
    'Canners: from the heat on to the boil or pressure',
  );
  assert.deepEqual(lessonWords(HEATING), {
    figure: '31.3 min',
    usual: 'Without it: 25 min.',
    counts: 'Counts as 1.5 loads seen.',
  });
  assert.equal(lessonTitle(list, SPEED), 'Bo at Wash');
  assert.deepEqual(lessonWords(SPEED), {
    figure: '80 % of what is expected',
    usual: 'Without it: 100 %.',
    counts: 'Counts as 1 carrier seen.',
  });
  const note = { of: 'scorch', station: 'can', what: 'p', at: 5, note: 'burnt', counts: 1 };
  assert.equal(lessonTitle(list, note), 'Canners, p: burnt');
  assert.equal(lessonWords(note).figure, '');
  const kinds = GROUPS.flatMap(([, all]) => all);
  assert.equal(new Set(kinds).size, 8);
});

test('what is typed is sent in the unit of the server, and only numbers are', () => {
  assert.deepEqual(setting(HEATING, '32,5', '4'), {
    do: 'set',
    lesson: { of: 'heating', station: 'can' },
    value: 32.5,
    counts: 4,
  });
  assert.equal(setting(SPEED, '90', '6').value, 0.9);
  assert.equal(setting(SPEED, 'fast', '6'), null);
  assert.equal(setting(SPEED, '90', ''), null);
  assert.deepEqual(forgetting(SPEED), {
    do: 'forget',
    lesson: { of: 'speed', helper: 'bo', station: 'wash' },
  });
  for (const bad of ['', '-3', '1e3', 'x', '1.2345', undefined]) assert.equal(typedNumber(bad), null);
});

test('names that the program gave are told in the language spoken, what people typed stays', () => {
  const back = {
    ...BACK,
    products: { jars: 'empty quart jars', pears: 'Grandma\u2019s pears' },
    stations: { c: { name: 'Canners' }, w: { name: 'By the window' } },
  };
  try {
    speak(spanish);
    const told = backInTongue(back);
    assert.equal(told.products.jars, 'frascos de cuarto vac\u00edos');
    assert.equal(told.products.pears, 'Grandma\u2019s pears');
    assert.equal(told.stations.c.name, 'Envasadoras');
    assert.equal(told.stations.w.name, 'By the window');
    assert.equal(told.helpers.a.name, 'Wren');
  } finally {
    speak(english, [{ default: season }]);
  }
});
