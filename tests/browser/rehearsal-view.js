// A constructed day of ten stations and one put away, rich enough to try every screen. Invented
// people and fruit.

const MIN = 60000;
const bowl = (holds) => ({ name: 'bowl', holds });
const jar = { name: 'jar', holds: 1000 };
const step = (station, measure, carrier, more = {}) => ({ station, measure, carrier, ...more });
const waiting = (amount, measure, carrier, lot, oldest) => ({
  amount,
  measure,
  carrier,
  carriers: Math.floor((amount * 1000) / carrier.holds),
  oldest_at: oldest,
  lots: { [lot]: amount },
});

function station(name, work, nature, seats, more = {}) {
  const seated = more.seated ?? {};
  return {
    name,
    work,
    nature,
    seats,
    needs: [],
    occupies: {},
    set_up: true,
    waiting: {},
    done: {},
    ...more,
    seated,
    free: seats - Object.keys(seated).length,
  };
}

const holds = { quart: 7, pint: 9 };
const canners = {
  is: 'canner',
  method: 'boiling-water',
  canners: { a: { name: 'Canner A', holds }, b: { name: 'Canner B', holds } },
};
const tested = { minutes: 25, source: 'a published tested process for pear halves' };

const loads = (now) => ({
  'load-1': {
    station: 'canners',
    canner: 'a',
    phase: 'timing',
    jars: { 'pears-qt': { hill: 7000 } },
    jar_count: 7000,
    process: { tested, decided_by: 'pears-qt', jar: 'quart' },
    built_at: now - 50 * MIN,
    heated_at: now - 45 * MIN,
    boil_at: now - 12 * MIN,
    done_at: now + 13 * MIN,
    lost: 0,
    short: false,
    broken: [],
  },
});

function stations(now) {
  const since = now - 31 * MIN;
  const stir = { thin_min: 18, half_min: 10, thick_min: 4 };
  return {
    wash: station('Wash', 'wash', { is: 'hand' }, 2, {
      seated: { bo: { since, beside: 'edda' }, wren: { since } },
      needs: ['adult-beside'],
      occupies: { sink: 1 },
      waiting: {
        'pears-qt': waiting(17500, 'lb', bowl(5000), 'hill', now - 9 * MIN),
        'peaches-pt': waiting(11000, 'lb', bowl(5000), 'market', now - 4 * MIN),
      },
      undo: { command: 'c0', helper: 'wren', product: 'pears-qt', amount: 5000, at: now - 2 * MIN },
    }),
    scald: station('Scald and slip', 'scald', { is: 'hand' }, 2, {
      seated: {},
      needs: ['heat'],
      occupies: { burner: 1 },
    }),
    slice: station('Core and slice', 'slice', { is: 'hand' }, 4, {
      seated: { edda: { since }, juno: { since }, silas: { since, beside: 'edda' } },
      needs: ['blade'],
      waiting: {
        'pears-qt': waiting(12500, 'lb', bowl(2500), 'hill', now - 26 * MIN),
        'peaches-pt': waiting(4000, 'lb', bowl(2500), 'market', now - 8 * MIN),
      },
      undo: { command: 'c1', helper: 'juno', product: 'pears-qt', amount: 2500, at: now - 1 * MIN },
    }),
    cook: station('Cook down', 'cook', { is: 'vessel', stir, pots: {} }, 1, {
      seated: { maren: { since } },
      needs: ['heat'],
      occupies: { burner: 1 },
      waiting: {
        plums: waiting(8000, 'lb', { name: 'pot', holds: 10000 }, 'yard', now - 12 * MIN),
      },
      pots: {
        'big-pot': {
          name: 'Big pot',
          takes: { lb: 20000 },
          dirty: false,
          phase: 'cooking',
          product: 'plums',
          amount: 15000,
          measure: 'lb',
          filled_at: now - 25 * MIN,
          started_at: now - 20 * MIN,
          done_at: now + 18 * MIN,
          stirred_at: now - 17 * MIN,
          stir_at: now + 70000,
          thickness: 'thin',
          minder: 'maren',
          backup: 'osk',
        },
        roaster: { name: 'Roaster', takes: { lb: 18000 }, dirty: true, phase: 'empty' },
        'small-pot': { name: 'Small pot', takes: { lb: 9000 }, dirty: false, phase: 'empty' },
      },
    }),
    strain: station('Strain', 'strain', { is: 'hand' }, 2, {
      needs: ['heat'],
      waiting: { plums: waiting(6500, 'qt', { name: 'pot', holds: 4000 }, 'yard', now - 96 * MIN) },
    }),
    fill: station('Fill jars', 'fill', { is: 'hand' }, 2, {
      seated: { osk: { since } },
      needs: ['heat'],
      waiting: { 'pears-qt': waiting(10000, 'lb', bowl(2500), 'hill', now - 19 * MIN) },
    }),
    canners: station('Canners', 'process', canners, 2, {
      needs: ['heat', 'lifting'],
      occupies: { burner: 1 },
      canners: { a: { name: 'Canner A', holds, load: 'load-1' }, b: { name: 'Canner B', holds } },
      waiting: {
        'pears-qt': waiting(3000, 'jar', jar, 'hill', now - 11 * MIN),
        'peaches-pt': waiting(8000, 'jar', jar, 'market', now - 6 * MIN),
      },
    }),
    bag: station('Bag', 'bag', { is: 'hand' }, 2, {
      waiting: {
        'plum-bags': waiting(4500, 'qt', { name: 'pot', holds: 4000 }, 'yard', now - 14 * MIN),
      },
    }),
    freezer: station('Freezer', 'freeze', { is: 'hold', capacity: 40000 }, 0, {
      standing: 12000,
      waiting: {
        'plum-bags': waiting(12000, 'bag', { name: 'bag', holds: 1000 }, 'yard', now - 80 * MIN),
      },
    }),
    cool: station('Cooling rack', 'cool', { is: 'hold', capacity: 60000 }, 0, {
      standing: 16000,
      waiting: {
        'pears-qt': waiting(7000, 'jar', jar, 'hill', now - 70 * MIN),
        'peaches-pt': waiting(9000, 'jar', jar, 'market', now - 40 * MIN),
      },
    }),
    dishes: station('Dishes', 'clean', { is: 'hand' }, 2, { set_up: false, occupies: { sink: 1 } }),
  };
}

function products() {
  const canned = (food, size) => ({ as: 'canned', food, pack: 'hot', jar: size });
  return {
    'pears-qt': {
      name: 'Pear halves',
      produce: 'pears',
      ends_in: canned('pears halved', 'quart'),
      wanted: 21000,
      finished: 0,
      cooling: 7000,
      package: 'jar',
      route: [
        step('wash', 'lb', bowl(5000)),
        step('slice', 'lb', bowl(2500), { trims_lb: { made: 200, from: 1000 } }),
        step('fill', 'lb', bowl(2500), {
          yields: { made: 1000, from: 2500 },
          draws: { 'quart-jars': 1000, lids: 1000 },
        }),
        step('canners', 'jar', jar),
        step('cool', 'jar', jar),
      ],
    },
    'peaches-pt': {
      name: 'Peach slices',
      produce: 'peaches',
      ends_in: canned('peaches halved or sliced', 'pint'),
      wanted: 27000,
      finished: 0,
      cooling: 9000,
      package: 'jar',
      route: [
        step('wash', 'lb', bowl(5000)),
        step('scald', 'lb', bowl(5000)),
        step('slice', 'lb', bowl(2500)),
        step('fill', 'lb', bowl(2500), { yields: { made: 1000, from: 1250 } }),
        step('canners', 'jar', jar),
        step('cool', 'jar', jar),
      ],
    },
    plums: {
      name: 'Plum puree',
      produce: 'plums',
      ends_in: canned('fruit puree', 'quart'),
      wanted: 7000,
      finished: 0,
      package: 'jar',
      route: [
        step('wash', 'lb', bowl(5000)),
        step('cook', 'lb', { name: 'pot', holds: 10000 }, { cook_min: 40 }),
        step(
          'strain',
          'qt',
          { name: 'pot', holds: 4000 },
          {
            onward: [
              { product: 'plums', station: 'fill', weight: 1 },
              { product: 'plum-bags', station: 'bag', weight: 1 },
            ],
          },
        ),
        step('fill', 'qt', { name: 'pot', holds: 4000 }),
        step('canners', 'jar', jar),
        step('cool', 'jar', jar),
      ],
    },
    'plum-bags': {
      name: 'Plum puree bags',
      produce: 'plums',
      ends_in: { as: 'frozen', package: 'bag' },
      wanted: 16000,
      finished: 12000,
      package: 'bag',
      route: [
        step('bag', 'qt', { name: 'pot', holds: 4000 }),
        step('freezer', 'bag', { name: 'bag', holds: 1000 }),
      ],
    },
  };
}

function helpers(now) {
  const person = (name, sign, age, station, more = {}) => ({
    name,
    sign,
    age,
    adult: age >= 18,
    limits: [],
    likes: [],
    presence: 'here',
    since: now - 90 * MIN,
    ...(station && { station }),
    beside_of: [],
    may: {},
    ...more,
  });
  const young = {
    slice: 'never',
    cook: 'never',
    strain: 'never',
    fill: 'never',
    canners: 'never',
    scald: 'never',
    wash: 'with-adult',
  };
  return {
    maren: person('Maren', 'kettle', 44, 'cook'),
    osk: person('Osk', 'fish', 46, 'fill'),
    edda: person('Edda', 'pear', 70, 'slice', {
      limits: ['lifting'],
      beside_of: ['bo', 'silas'],
      may: { canners: 'never' },
    }),
    juno: person('Juno', 'star', 16, 'slice'),
    silas: person('Silas', 'boat', 12, 'slice', {
      may: {
        slice: 'with-adult',
        cook: 'never',
        strain: 'never',
        fill: 'never',
        scald: 'never',
        canners: 'never',
      },
    }),
    wren: person('Wren', 'cat', 9, 'wash', {
      may: { ...young, wash: 'allowed', slice: 'with-adult' },
    }),
    bo: person('Bo', 'snail', 6, 'wash', { may: young }),
    tove: person('Tove', 'hen', 38, null),
    ida: person('Ida', 'sun', 15, null, { presence: 'resting' }),
    lars: person('Lars', 'whisk', 51, null, { presence: 'expected' }),
  };
}

/** The whole view as of a moment. */
export function rehearsalView(now) {
  const all = stations(now);
  return {
    day: {
      name: 'Pears, peaches, plums',
      date: '2026-09-12',
      phase: 'open',
      opened_at: now - 120 * MIN,
      cut_off_at: now + 150 * MIN,
      altitude_ft: 640,
      scraps_bucket_lb: 10000,
      scraps_lb: 7200,
      notes: {
        1: {
          at: now - 40 * MIN,
          on: { about: 'station', id: 'slice' },
          text: 'Second paring knife is blunt.',
        },
      },
      age_rules: {
        blade: [
          { from_age: 0, verdict: 'never' },
          { from_age: 9, verdict: 'with-adult' },
          { from_age: 13, verdict: 'allowed' },
        ],
        heat: [
          { from_age: 0, verdict: 'never' },
          { from_age: 13, verdict: 'with-adult' },
          { from_age: 16, verdict: 'allowed' },
        ],
        lifting: [
          { from_age: 0, verdict: 'never' },
          { from_age: 13, verdict: 'with-adult' },
          { from_age: 16, verdict: 'allowed' },
        ],
        'adult-beside': [
          { from_age: 0, verdict: 'with-adult' },
          { from_age: 9, verdict: 'allowed' },
        ],
      },
    },
    resources: {
      burner: { name: 'Burners', count: 4, used: 3 },
      sink: { name: 'Sinks', count: 1, used: 1 },
    },
    stations: all,
    helpers: helpers(now),
    products: products(),
    lots: {
      hill: {
        name: 'Hill orchard, early',
        produce: 'pears',
        measure: 'lb',
        amount: 52500,
        box_holds: 17500,
        unopened: 17500,
      },
      market: {
        name: 'Market crates',
        produce: 'peaches',
        measure: 'lb',
        amount: 33000,
        box_holds: 11000,
        unopened: 11000,
      },
      yard: {
        name: 'Our yard',
        produce: 'plums',
        measure: 'lb',
        amount: 29000,
        box_holds: 14500,
        unopened: 0,
      },
    },
    supplies: {
      lids: {
        name: 'New lids',
        unit: 'lid',
        stock: 9000,
        low_at: 12000,
        began_with: 60000,
        low: true,
      },
      'quart-jars': {
        name: 'Clean hot quart jars',
        unit: 'jar',
        stock: 14000,
        low_at: 7000,
        low: false,
      },
      bags: { name: 'Freezer bags', unit: 'bag', stock: 22000, low_at: 6000, low: false },
    },
    loads: loads(now),
    chores: {
      c1: {
        kind: { about: 'asked', name: 'c1', station: 'fill' },
        text: 'Clean jars to Fill jars',
        raised_at: now - 6 * MIN,
      },
      c2: {
        kind: { about: 'supply-low', supply: 'lids' },
        text: 'New lids are running low',
        raised_at: now - 3 * MIN,
        taken_by: 'tove',
      },
      c3: {
        kind: { about: 'dirty-pot', station: 'cook', pot: 'roaster' },
        text: 'Wash the roaster',
        raised_at: now - 2 * MIN,
      },
    },
  };
}

const asleep = {
  refrigerated: 0,
  frozen: 0,
  fresh: 0,
  diverted: 0,
  broken: 0,
  scrapped: 0,
  short: 0,
  standing: 0,
};

/** A look back of that day. */
export function rehearsalLookBack(view) {
  const from = view.day.opened_at;
  const line = (seed) =>
    Array.from({ length: 40 }, (_, i) => [
      from + i * 3 * MIN,
      Math.max(
        0,
        Math.round(9000 + 8000 * Math.sin(i / (4 + seed)) + ((i * (seed + 3)) % 7) * 700),
      ),
    ]);
  const told = (id, seed) => [
    id,
    {
      name: view.stations[id].name,
      busy_ms: (92 - seed * 9) * MIN,
      starved_ms: (20 + seed * 8) * MIN,
      unstaffed_ms: seed * MIN,
      put_away_ms: 0,
      deepest: { product: 'pears-qt', amount: 17500, carriers: 7000, at: from + 40 * MIN },
      depth: { 'pears-qt': line(seed) },
      waited: { 'pears-qt': 9e9 - seed },
    },
  ];
  return {
    name: view.day.name,
    date: view.day.date,
    opened_at: from,
    open_ms: 120 * MIN,
    from,
    to: from + 120 * MIN,
    packages_per_hour: 9.4,
    products: Object.fromEntries(
      Object.entries(view.products).map(([id, product]) => [id, product.name]),
    ),
    made: {
      'pears-qt': {
        name: 'Pear halves',
        package: 'jar',
        wanted: 21,
        made: 21,
        finished: 0,
        ...asleep,
        cooling: 20,
        broken: 1,
      },
      'peaches-pt': {
        name: 'Peach slices',
        package: 'jar',
        wanted: 27,
        made: 26,
        finished: 0,
        ...asleep,
        cooling: 26,
      },
      'plum-bags': {
        name: 'Plum puree bags',
        package: 'bag',
        wanted: 16,
        made: 16,
        finished: 16,
        cooling: 0,
        ...asleep,
      },
    },
    stations: Object.fromEntries(['wash', 'slice', 'cook', 'strain', 'fill', 'canners'].map(told)),
    helpers: {
      wren: { name: 'Wren', told: 'Wren sat at Wash for 1 h 20 min and finished 2 chores.' },
      juno: { name: 'Juno', told: 'Juno sat at Core and slice for 1 h 45 min.' },
    },
    loads: {
      'load-1': {
        station: 'canners',
        jars: { 'pears-qt': 7 },
        minutes: 25,
        built_at: from,
        heat_up_ms: 22 * MIN,
        boil_at: from + 30 * MIN,
        process_ms: 25 * MIN,
        boils_lost: [],
        short: false,
        broken: [{ product: 'pears-qt', jars: 1 }],
      },
    },
    chores: {},
    rework: [
      {
        product: 'pears-qt',
        from: 'fill',
        to: 'slice',
        amount: 2500,
        times: 1,
        reasons: ['bits of core left'],
      },
    ],
    waste: {
      slice: {
        'pears-qt': {
          measure: 'lb',
          scraps: 1500,
          fresh: 2500,
          refrigerator: 0,
          freezer: 0,
          other_route: 0,
          broken: 0,
          missing: 0,
          found: 0,
        },
      },
    },
    trimmings_lb: 9800,
  };
}

const plan = { name: '', date: '2026-09-12', stations: {}, products: {} };
/** Ready kitchens. */
export const rehearsalKitchens = {
  'small-hob': {
    name: 'Four burners, one canner',
    about: 'One hob with four burners, one canner for seven quarts, one sink.',
    plan,
  },
  'two-canners': {
    name: 'Two canners and a roaster',
    about: 'A hob, two canners, a roaster on its own circuit, a rack for sixty jars.',
    plan,
  },
  'freezer-only': {
    name: 'Freezing only',
    about: 'No canner: wash, cook, strain, bag and freeze.',
    plan,
  },
};
