// What is to come, as the screens read it: never acted on when it is old, never a proposal that no
// longer stands, and words for every kind that the board can send.

import test from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import * as outlook from '../../web/core/outlook.js';
import * as words from '../../web/core/outlook-words.js';
import { known } from '../../web/words/words.js';
import { rehearsalView } from '../browser/rehearsal-view.js';
import { rehearsalOutlook } from '../browser/rehearsal-outlook.js';

const read = (path) => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8');
const REPORT = read('src/outlook/report.rs');
const SAMPLE = JSON.parse(read('fixtures/wire/outlook.json'));
const MIN = 60000;
const NOW = Date.UTC(2026, 8, 12, 11, 0);
const view = rehearsalView(NOW);
const ahead = rehearsalOutlook(NOW);

const kebab = (name) => name.replace(/\B[A-Z]/g, (one) => `-${one}`).toLowerCase();

/** The body of an item of the report, as it stands in the source. */
function bodyOf(kind, name) {
  const found = REPORT.match(new RegExp(`pub ${kind} ${name} \\{\\n([\\s\\S]*?)\\n\\}`));
  assert.ok(found, `the report has no ${kind} ${name}`);
  return found[1];
}

/** The tags that an enum of the report sends. */
const tagsOf = (name) =>
  [...bodyOf('enum', name).matchAll(/^ {4}([A-Z]\w*)/gm)].map(([, variant]) => kebab(variant));

const whole = (text, what) => {
  assert.ok(text.length > 3, what);
  assert.doesNotMatch(text, /undefined|NaN|\{|\}|\b[a-z-]+\.[a-z-]+\b/, `${what}: ${text}`);
};

test('an outlook older than three minutes by the server is not acted on', () => {
  const made = { at: NOW };
  assert.equal(outlook.freshOutlook(made, NOW + 3 * MIN), made);
  assert.equal(outlook.freshOutlook(made, NOW + 3 * MIN + 1), null);
  assert.equal(outlook.isStale(made, NOW + 3 * MIN + 1), true);
  assert.equal(outlook.freshOutlook(made, null), null, 'without the server there is no time');
  assert.equal(outlook.isStale(made, NOW + 30 * MIN, 60), false, 'a day played at 60 times life');
  assert.equal(outlook.isStale(made, NOW + 181 * MIN, 60), true);
  assert.equal(outlook.isStale(made, NOW + 4 * MIN, 0.5), true, 'never later than three minutes');
  assert.equal(outlook.freshOutlook(null, NOW), null);
  assert.equal(outlook.isStale(null, NOW), false);
});

test('every kind of win has words for what to do and for what it brings', () => {
  const tags = tagsOf('Win');
  assert.ok(tags.length >= 6);
  for (const tag of tags) {
    assert.ok(known(`win.${tag}`) && known(`win.${tag}.why`), tag);
    const sample = SAMPLE.wins.find(({ win }) => win === tag);
    assert.ok(sample, `the sample has no win ${tag}`);
    const { what, why } = words.winWords(view, sample, NOW);
    whole(what, tag);
    whole(why, tag);
  }
});

test('every reason for a move has words, long and short', () => {
  const tags = tagsOf('Why');
  assert.ok(tags.length >= 3);
  for (const tag of tags) {
    const sample = SAMPLE.moves.find(({ why }) => why.because === tag);
    assert.ok(sample, `the sample has no reason ${tag}`);
    for (const short of [false, true]) {
      assert.ok(known(`why.${tag}${short ? '.short' : ''}`), tag);
      whole(words.whyWords(view, sample.why, short), tag);
    }
  }
});

test('every reason to stay has words', () => {
  const samples = {
    'no-hands-help': { station: 'canners' },
    'too-little': { best_gain_min: 2.4 },
    'nobody-may': {},
    finished: {},
  };
  assert.deepEqual(tagsOf('Stay').sort(), Object.keys(samples).sort());
  for (const [because, more] of Object.entries(samples)) {
    assert.ok(known(`stay.${because}`), because);
    whole(words.stayWords(view, { because, ...more }), because);
  }
  assert.match(words.stayWords(view, { because: 'no-hands-help', station: 'canners' }), /Canners/);
  const nothing = words.stayWords(view, { because: 'too-little', best_gain_min: 0.4 });
  assert.equal(nothing, 'No move would end the day sooner.');
});

test('every change to try has words, and says whether it is sooner or later', () => {
  const tags = tagsOf('Change');
  assert.ok(tags.length >= 4);
  for (const tag of tags) {
    const sample = SAMPLE.what_if.find((one) => one.if === tag);
    assert.ok(sample, `the sample has no change ${tag}`);
    whole(words.whatIfWords(view, sample).what, tag);
  }
  const helper = { if: 'one-more-helper', station: 'slice', earlier: 0.9 };
  const sooner = words.whatIfWords(view, { ...helper, finish_min: -12.9 });
  assert.equal(sooner.what, 'One more helper at Core and slice');
  assert.deepEqual([sooner.way, sooner.effect], ['sooner', '12 min sooner']);
  const later = words.whatIfWords(view, { ...helper, finish_min: 3.2 });
  assert.deepEqual([later.way, later.effect], ['later', '3 min later']);
  assert.equal(words.whatIfWords(view, { ...helper, finish_min: -0.9 }).way, 'same');
});

/** The kitchen with nothing waiting at a station, and no box that is still closed. */
const emptied = (id) => ({
  ...view,
  lots: {},
  stations: { ...view.stations, [id]: { ...view.stations[id], waiting: {} } },
});

test('what a station does is said, or is silent on purpose', () => {
  const silent = [];
  const opened = emptied('slice');
  for (const doing of tagsOf('Doing')) {
    const one = { at: NOW, stations: { slice: { doing, depth_min: 12 } } };
    const says = outlook.stationSays(opened, one, 'slice');
    if (says === null) silent.push(doing);
    else whole(words.saysWords(says), doing);
  }
  assert.deepEqual(silent.sort(), ['put-away', 'working']);
});

test('that nothing more comes is said only when no box is closed that may come', () => {
  const done = { stations: { slice: { doing: 'finished', depth_min: 0 } } };
  const lots = (unopened, produce = 'pears') => ({ hill: { produce, unopened } });
  const product = { produce: 'pears', route: [{ station: 'wash' }, { station: 'slice' }] };
  const kitchen = (boxes) => ({
    stations: { slice: { name: 'Slice' } },
    products: { halves: product },
    lots: boxes,
  });
  const says = (boxes) => outlook.stationSays(kitchen(boxes), done, 'slice');
  assert.deepEqual(says(lots(0)), { says: 'finished' });
  assert.equal(says(lots(18)), null, 'fruit that has just come');
  assert.deepEqual(says(lots(18, 'plums')), { says: 'finished' }, 'plums do not come by');
});

test('a station that runs dry says so only when it is soon', () => {
  const dry = (minutes) => ({
    stations: { slice: { doing: 'working', depth_min: 12, dry_in_min: minutes } },
  });
  const says = (minutes) => outlook.stationSays(view, dry(minutes), 'slice');
  assert.equal(words.saysWords(says(6.9)), 'nothing to do in 6 min');
  assert.equal(words.saysWords(says(0.4)), 'nothing to do in under 1 min');
  assert.equal(says(15.1), null);
  assert.equal(says(undefined), null);
  assert.equal(outlook.stationSays(view, dry(2), 'gone'), null);
});

test('the finish is one sentence, with the cut-off only where there is one', () => {
  const at = (hours, minutes) => new Date(2026, 8, 12, hours, minutes).getTime();
  const day = { ...view, day: { ...view.day, cut_off_at: at(15, 30) } };
  const one = {
    finish: { p10: at(15, 10), p50: at(15, 25), p90: at(15, 50) },
    by_cut_off: 0.62,
  };
  assert.equal(
    words.finishSentence(day, one, at(12, 0)),
    'Done between 15:10 and 15:50, most likely 15:25; by 15:30 in 62 of 100 days.',
  );
  const without = { ...one, by_cut_off: undefined };
  assert.equal(
    words.finishSentence(day, without, at(12, 0)),
    'Done between 15:10 and 15:50, most likely 15:25.',
  );
  assert.equal(words.finishSentence(day, {}, at(12, 0)), 'Nothing is left to do.');
  const late = { finish: { p10: at(23, 30), p50: at(24, 15), p90: at(36, 40) } };
  assert.equal(
    words.finishSentence(day, late, at(13, 0)),
    'Done between 23:30 and 12:40 on Sun, Sep 13, most likely 00:15.',
    'the day is said where the time alone could be mistaken',
  );
});

test('hundred of hundred and none of hundred are said only where they are meant', () => {
  assert.equal(words.ofHundred(0.9999), 99);
  assert.equal(words.ofHundred(1), 100);
  assert.equal(words.ofHundred(0.0001), 1);
  assert.equal(words.ofHundred(0), 0);
  assert.equal(words.ofHundred(0.625), 63);
});

test('spans are never shown longer than they are', () => {
  assert.equal(words.minutesShort(5.99), '5 min');
  assert.equal(words.minutesShort(0.9), 'under 1 min');
  assert.equal(words.minutesShort(125.5), '2 h 5 min');
  assert.equal(words.minutesShort(-12.9), '12 min', 'which way is said in words');
  assert.equal(words.minutesSpoken(1.8), '1 minute');
  assert.equal(words.minutesSpoken(25.9), '25 minutes');
  assert.equal(words.minutesSpoken(119), '1½ hours');
  assert.equal(words.minutesSpoken(130), '2 hours');
});

test('a child reads which fruit waits and for how long', () => {
  const needs = (station, waiting_min) => words.needsYou(view, { station, waiting_min });
  assert.equal(needs('fill', 25.3), 'Fill jars needs you: 25 minutes of pears are waiting.');
  assert.equal(needs('fill', 1.2), 'Fill jars needs you: 1 minute of pears is waiting.');
  assert.equal(
    needs('slice', 38),
    'Core and slice needs you: 38 minutes of pears and peaches are waiting.',
  );
  assert.equal(needs('canners', 9), 'Canners needs you: 9 minutes of jars are waiting.');
  assert.equal(needs('scald', 4), 'Scald and slip needs you: 4 minutes of work are waiting.');
});

const order = (move, from = view) => outlook.moveOrder(from, move);
const [claim, withAdult] = ahead.moves;

test('a move is made by the orders that are there already', () => {
  assert.deepEqual(order(claim), { order: 'claim', helper: 'tove', station: 'slice' });
  assert.deepEqual(order(withAdult), {
    order: 'switch',
    helper: 'wren',
    station: 'slice',
    beside: 'edda',
  });
  const steps = [
    { helper: 'silas', from: 'slice', to: 'wash' },
    { helper: 'wren', from: 'wash', to: 'slice', beside: 'edda' },
  ];
  assert.deepEqual(order({ id: 'swap:silas:wren', steps }), {
    order: 'swap',
    one: 'silas',
    other: 'wren',
    beside_other: 'edda',
  });
});

test('setting a move aside tells the board which and at what gain', () => {
  assert.deepEqual(outlook.asideOrder({ id: 'claim:tove:slice', gain_min: 13.8 }), {
    order: 'set-aside-move',
    move: 'claim:tove:slice',
    gain_min: 13,
  });
});

test('a move goes when somebody in it sits elsewhere by now, or it was set aside here', () => {
  const ids = (from, aside) => outlook.movesOf(from, ahead, aside).map(({ id }) => id);
  const all = ahead.moves.map(({ id }) => id);
  assert.deepEqual(ids(view), all);
  const helpers = { ...view.helpers, tove: { ...view.helpers.tove, station: 'slice' } };
  assert.deepEqual(ids({ ...view, helpers }), all.slice(1));
  const resting = { ...view.helpers, wren: { ...view.helpers.wren, presence: 'resting' } };
  assert.ok(!ids({ ...view, helpers: resting }).includes(withAdult.id));
  assert.deepEqual(ids(view, [claim.id]), all.slice(1));
  const answered = { [claim.id]: 5000 };
  assert.deepEqual(outlook.stillAside(answered, 5000 + MIN - 1), [claim.id]);
  assert.deepEqual(outlook.stillAside(answered, 5000 + MIN), [], 'then the board decides');
});

test('a helper is shown only a move of their own', () => {
  assert.equal(outlook.moveFor(ahead.moves, 'wren').id, withAdult.id);
  assert.equal(outlook.moveFor(ahead.moves, 'bo'), null);
});

test('moves are told by who and where, with what they gain', () => {
  assert.equal(words.moveTitle(view, claim), 'Tove to Core and slice');
  assert.equal(words.moveGain(claim), '13 min sooner, in 97 of 100 days');
  assert.equal(words.moveFrom(view, claim), 'free now');
  assert.equal(words.moveFrom(view, withAdult), 'from Wash, Edda beside Wren');
  assert.equal(words.moveGain({ gain_min: 0.2, sure: 0.95 }), '', 'it keeps food from standing');
  const steps = [
    { helper: 'silas', from: 'slice', to: 'wash' },
    { helper: 'wren', from: 'wash', to: 'slice' },
  ];
  assert.equal(
    words.moveTitle(view, { steps }),
    'Swap: Silas to Wash, Wren to Core and slice',
  );
});

test('the best win stands before the best move, and both before all others', () => {
  const app = { view, ahead, aside: [] };
  const kinds = (given) => outlook.adviceOf(given).map((one) => Object.keys(one)[0]);
  assert.deepEqual(kinds(app), ['win', 'move', 'win', 'move', 'move']);
  const box = outlook.winId(ahead.wins[1]);
  assert.equal(box, 'open-box:hill:pears-qt');
  assert.deepEqual(
    outlook
      .adviceOf({ ...app, aside: [box] })
      .filter(({ win }) => win)
      .map(({ win }) => win.win),
    ['short-load-first'],
    'a box just opened is not offered again',
  );
  assert.deepEqual(kinds({ ...app, ahead: { ...ahead, moves: [] } }), ['win', 'win']);
});

test('a day that never ends is told apart from one that is done', () => {
  const never = { ...ahead, finish: undefined };
  const done = { ...never, runs: 0 };
  assert.deepEqual([ahead, never, done].map(outlook.endOf), ['band', 'never', 'nothing']);
  assert.equal(words.finishTitle(never, ahead.at), 'No end in sight');
  assert.equal(words.finishTitle(done, ahead.at), 'Nothing is left to do');
  assert.equal(
    words.noEndWords(view, never),
    'As you sit now the work never ends. Strain and Bag need hands.',
  );
  assert.equal(
    words.finishSentence(view, never, ahead.at),
    'No end in sight. As you sit now the work never ends. Strain and Bag need hands.',
  );
  assert.equal(words.noEndWords(view, done), '');
  const seated = { ...never, stations: {} };
  assert.equal(words.noEndWords(view, seated), 'As you sit now the work never ends.');
});

test('hands are needed where work waits, a seat is free and nobody sits or it sets the day', () => {
  const found = outlook.handsNeeded(view, ahead).map(({ station }) => station);
  assert.deepEqual(found, ['slice', 'strain', 'bag']);
  const full = { ...view.stations, slice: { ...view.stations.slice, free: 0 } };
  const left = outlook.handsNeeded({ ...view, stations: full }, ahead);
  assert.deepEqual(left.map(({ station }) => station), ['strain', 'bag']);
  assert.deepEqual(outlook.handsNeeded(view, null), []);
  const slice = { ...ahead.stations.slice, dry_in_min: 9 };
  const dry = { ...ahead, stations: { ...ahead.stations, slice } };
  assert.ok(!outlook.handsNeeded(view, dry).some((one) => one.station === 'slice'), 'runs dry');
  const fill = { ...ahead.stations.fill, depth_min: 45, dry_in_min: undefined };
  const deep = { ...ahead, stations: { ...ahead.stations, fill } };
  assert.ok(outlook.handsNeeded(view, deep).some((one) => one.station === 'fill'), 'is deep');
});

test('choices keep the order of the board and lose seats that were taken', () => {
  const ids = (from) => outlook.choicesFor(from, ahead, 'tove').map(({ station }) => station);
  assert.deepEqual(ids(view), ['slice', 'strain', 'bag']);
  const stations = { ...view.stations, strain: { ...view.stations.strain, free: 0 } };
  assert.deepEqual(ids({ ...view, stations }), ['slice', 'bag']);
  assert.deepEqual(outlook.choicesFor(view, null, 'tove'), []);
});

test('a seat says when its work runs out, or that it has', () => {
  assert.deepEqual(outlook.seatAhead(view, ahead, 'osk'), { dry: 6.4 });
  assert.equal(outlook.seatAhead(view, ahead, 'wren'), null);
  const fill = { ...ahead.stations.fill, doing: 'starved' };
  const idle = { ...ahead, stations: { ...ahead.stations, fill } };
  assert.deepEqual(outlook.seatAhead(emptied('fill'), idle, 'osk'), { idle: true });
  assert.equal(outlook.seatAhead(view, idle, 'osk'), null, 'work has come since');
});

test('what holds up and what sets the finish say why', () => {
  assert.deepEqual(outlook.marksOf(ahead, 'slice'), ['holds-up', 'sets-finish']);
  assert.deepEqual(outlook.marksOf(ahead, 'wash'), []);
  assert.equal(
    words.holdsUpWords(view, ahead.holds_up_now),
    'Held up by Core and slice: 42 min without a pause, Fill jars waiting for it.',
  );
  assert.equal(
    words.setsFinishWords(view, ahead.sets_finish),
    'Finish set by Core and slice in 83 of 100 days.',
  );
});

test('the sample has every field of the report', () => {
  const text = JSON.stringify(SAMPLE);
  const inside = ['band', 'change', 'stay', 'best_gain_min'];
  const fields = [...REPORT.matchAll(/^ +(?:pub )?(\w+): [A-Z\w]/gm)].map(([, name]) => name);
  assert.ok(fields.length > 60);
  for (const field of fields)
    assert.ok(inside.includes(field) || text.includes(`"${field}":`), `no ${field} in the sample`);
});
