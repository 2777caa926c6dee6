// The small charts of the outlook as paths: a queue's last hour, and the finish as it was seen
// over the day against the cut-off. Pure geometry. Invariants: nothing lies outside the given
// size, and later on the clock is never drawn lower or further left.

const MINUTE_MS = 60000;
const HOUR_MS = 60 * MINUTE_MS;
const r = (n) => Math.round(n * 10) / 10;
const clamp = (n, least, most) => Math.min(most, Math.max(least, n));

/**
 * A queue's last hour: `{line, area, most, first, last}`. A queue keeps its depth until the next
 * point. Null when there is nothing to draw.
 */
export function sparkOf(queue, at, { width, height }) {
  const from = at - HOUR_MS;
  const points = (queue ?? []).filter(([ms]) => ms <= at);
  if (!points.length) return null;
  const most = Math.max(1, ...points.map(([, depth]) => depth));
  const x = (ms) => r((clamp(ms - from, 0, HOUR_MS) / HOUR_MS) * width);
  const y = (depth) => r(height - 1 - (depth / most) * (height - 2));
  const [[begin, first]] = points;
  let line = `M${x(begin)} ${y(first)}`;
  for (const [ms, depth] of points.slice(1)) line += `H${x(ms)}V${y(depth)}`;
  line += `H${r(width)}`;
  const area = `${line}V${height}H${x(begin)}Z`;
  return { line, area, most: Math.max(...points.map(([, n]) => n)), first, last: points.at(-1)[1] };
}

/** Steps of the clock that leave room for their labels. */
function stepFor(span, most) {
  const steps = [15, 30, 60, 120, 240].map((minutes) => minutes * MINUTE_MS);
  return steps.find((step) => span / step <= most) ?? steps.at(-1);
}

/** Whole steps within a span, by the device's own zone: `offset` is what it is off from UTC. */
function ticks(from, to, most, offset) {
  const step = stepFor(to - from, most);
  const out = [];
  const first = Math.ceil((from + offset) / step) * step - offset;
  for (let at = first; at <= to; at += step) out.push(at);
  return out;
}

/**
 * The finish over time: `{band, middle, now, cutOff, late, across, up}` inside `size`
 * (`{width, height, left, right, top, bottom}`, the last four room for labels). Null without a
 * finish.
 */
export function finishChart(outlook, cutOffAt, size, offset = 0) {
  if (!outlook?.finish) return null;
  const { left = 0, right = 0, top = 0, bottom = 0 } = size;
  const seen = [...(outlook.earlier ?? []), { at: outlook.at, ...outlook.finish }]
    .filter((one) => one.at <= outlook.at)
    .sort((a, b) => a.at - b.at);
  const spread = seen.flatMap(({ p10, p90 }) => [p10, p90]);
  if (cutOffAt) spread.push(cutOffAt);
  const pad = Math.max(5 * MINUTE_MS, (Math.max(...spread) - Math.min(...spread)) * 0.12);
  const [low, high] = [Math.min(...spread) - pad, Math.max(...spread) + pad];
  const first = seen[0].at;
  const span = Math.max(outlook.at - first, 1);
  const [w, h] = [size.width - left - right, size.height - top - bottom];
  const x = (at) => r(left + (seen.length < 2 ? w : ((at - first) / span) * w));
  const y = (at) => r(top + h - ((at - low) / (high - low)) * h);
  const along = (key, list) => list.map((one) => `${x(one.at)} ${y(one[key])}`).join('L');
  const { p10, p50, p90 } = outlook.finish;
  const hours = seen.length < 2 ? [] : ticks(first, outlook.at, 5, offset);
  return {
    band: seen.length > 1 ? `M${along('p90', seen)}L${along('p10', [...seen].reverse())}Z` : '',
    middle: seen.length > 1 ? `M${along('p50', seen)}` : '',
    now: { x: x(outlook.at), early: y(p10), middle: y(p50), late: y(p90) },
    cutOff: cutOffAt ? y(cutOffAt) : null,
    frame: { left, right: left + w, top, bottom: top + h },
    across: hours.map((at) => ({ at, x: x(at) })),
    up: ticks(low, high, 5, offset).map((at) => ({ at, y: y(at) })),
  };
}

/**
 * The finish against the cut-off on a line of time from `now` on, each place from 0 to 1:
 * `{early, middle, late, cutOff, hours: [{at, x}]}`, full hours of a day that is `offset` ms ahead
 * of UTC; null without a finish. `most` is how many hours can be written.
 */
export function finishLine({ finish }, cutOff, now, { offset = 0, most = 6 } = {}) {
  if (!finish || now === null) return null;
  const end = Math.max(finish.p90, cutOff ?? 0, now + HOUR_MS);
  const until = end + (end - now) * 0.08;
  const place = (at) => Math.max(0, Math.min(1, (at - now) / (until - now)));
  const step = HOUR_MS * Math.max(1, Math.ceil((until - now) / HOUR_MS / most));
  const hours = [];
  for (let at = Math.ceil((now + offset) / step) * step - offset; at < until; at += step)
    hours.push({ at, x: place(at) });
  return {
    early: place(finish.p10),
    middle: place(finish.p50),
    late: place(finish.p90),
    cutOff: cutOff ? place(cutOff) : null,
    hours,
  };
}
