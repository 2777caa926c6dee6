// What is to come on the rehearsal's day: written by hand so that every part of it has something
// to show. Invented figures.

const MIN = 60000;
const HOUR_POINTS = 30;

/** A queue of the last hour that ends at `last` carriers. */
function queue(now, last, wave) {
  return Array.from({ length: HOUR_POINTS }, (_, index) => {
    const left = HOUR_POINTS - 1 - index;
    const depth = Math.max(0, last + wave * Math.sin(left / 4) * (left / HOUR_POINTS));
    return [now - left * 2 * MIN, Math.round(depth * 4) / 4];
  });
}

const band = (now, early, middle, late) => ({
  p10: now + early * MIN,
  p50: now + middle * MIN,
  p90: now + late * MIN,
});

function station(now, doing, depth, last, wave, more = {}) {
  return {
    doing,
    depth_min: depth,
    working: doing === 'working' ? 0.9 : 0.3,
    starved: doing === 'starved' ? 0.6 : 0.1,
    blocked: 0,
    sets_finish: 0,
    tenth_faster_min: 0.4,
    queue: queue(now, last, wave),
    ...more,
  };
}

function earlier(now) {
  return [170, 150, 128, 110, 90, 71, 50, 30, 12].map((ago, index) => ({
    at: now - ago * MIN,
    ...band(now, 84 + index * 3, 118 + index * 2.5, 176 - index * 1),
  }));
}

const choice = (id, minutes, more = {}) => ({
  station: id,
  waiting_min: minutes,
  needs_hands: false,
  likes: false,
  with_adult: false,
  ...more,
});

/** The outlook as of a moment. */
export function rehearsalOutlook(now) {
  const helper = (more) => ({ choices: [], rates: {}, ...more });
  return {
    at: now,
    runs: 400,
    finish: band(now, 112, 141, 168),
    by_cut_off: 0.62,
    earlier: earlier(now),
    stations: {
      wash: station(now, 'working', 11.5, 5.5, 3),
      scald: station(now, 'starved', 0, 0, 1.5),
      slice: station(now, 'working', 38, 6.5, -3, { sets_finish: 0.83, tenth_faster_min: 7.5 }),
      cook: station(now, 'working', 18, 0.75, 0.5, { sets_finish: 0.04 }),
      strain: station(now, 'unstaffed', 14, 1.5, 0.5),
      fill: station(now, 'working', 9, 4, 2, { dry_in_min: 6.4 }),
      canners: station(now, 'working', 25.4, 11, -4, {
        sets_finish: 0.13,
        tenth_faster_min: undefined,
      }),
      bag: station(now, 'unstaffed', 8, 1, 0.5),
      freezer: station(now, 'working', 0, 12, -6),
      cool: station(now, 'working', 0, 16, -7),
      dishes: station(now, 'put-away', 0, 0, 0),
    },
    products: {
      'pears-qt': { finish: band(now, 98, 121, 150), made_p10: 20, made_p50: 21, made_p90: 22 },
      'peaches-pt': { finish: band(now, 110, 139, 165), made_p10: 25, made_p50: 27, made_p90: 28 },
    },
    canners: {
      canners: {
        loads_p50: 4,
        loads_p90: 5,
        next: [band(now, 1, 3, 9), band(now, 40, 47, 58), band(now, 71, 84, 99)],
        idle_min: 22,
      },
    },
    helpers: {
      wren: helper({
        choices: [choice('slice', 38, { with_adult: true, likes: true })],
        rates: { wash: { per_hour: 9.2, low: 7.1, high: 11.6, seen: 14 } },
      }),
      osk: helper({
        dry_in_min: 6.4,
        choices: [choice('strain', 14, { needs_hands: true }), choice('slice', 38)],
        rates: { fill: { per_hour: 24, low: 20, high: 28.4, seen: 31 } },
      }),
      tove: helper({
        choices: [
          choice('slice', 38),
          choice('strain', 14, { needs_hands: true, likes: true }),
          choice('bag', 8, { needs_hands: true }),
        ],
      }),
    },
    holds_up_now: { station: 'slice', without_pause_min: 42.3, starves: 'fill' },
    sets_finish: { station: 'slice', share: 0.83 },
    moves: [
      {
        id: 'claim:tove:slice',
        steps: [{ helper: 'tove', to: 'slice' }],
        gain_min: 13.8,
        sure: 0.97,
        why: { because: 'sets-finish', station: 'slice', waiting_min: 38 },
      },
      {
        id: 'switch:wren:wash:slice',
        steps: [{ helper: 'wren', from: 'wash', to: 'slice', beside: 'edda' }],
        gain_min: 8.1,
        sure: 0.93,
        why: { because: 'sets-finish', station: 'slice', waiting_min: 38 },
      },
      {
        id: 'switch:osk:fill:strain',
        steps: [{ helper: 'osk', from: 'fill', to: 'strain' }],
        gain_min: 0,
        sure: 0.95,
        why: { because: 'stands', station: 'strain', product: 'plums' },
      },
    ],
    wins: [
      { win: 'short-load-first', station: 'canners', product: 'pears-qt', jars: 3, gain_min: 9.5 },
      { win: 'open-box', lot: 'hill', product: 'pears-qt', dry_in_min: 12 },
    ],
    what_if: [
      { if: 'one-more-helper', station: 'slice', finish_min: -13.8, earlier: 0.97 },
      { if: 'one-more-canner', station: 'canners', finish_min: -2.4, earlier: 0.61 },
      { if: 'half-as-much', finish_min: -46, earlier: 1 },
      { if: 'pause-half-hour', finish_min: 24, earlier: 0 },
    ],
    last_box: {
      hill: { open_by: now + 21 * MIN, finish_if_now: band(now, 130, 158, 190) },
      market: { finish_if_now: band(now, 150, 179, 214) },
    },
    pace: { best_min: 104, now_min: 141, share: 0.737 },
  };
}
