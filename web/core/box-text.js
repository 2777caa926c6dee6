// How much text a station's box has room for. Pure arithmetic on estimates of width; the browser
// cuts what still does not fit. Invariant: there is always one line for what waits.

const LINE_PX = 17;
const HEAD_PX = 40;
const LETTER_PX = 7.6;
const NARROW_PX = 270;

/** `{waiting, timers, signs, narrow}`: lines for queues and for timers, whether people are signs
 * only, and whether the work's picture must go. */
export function linesFor(shape, box, { waiting, timers, names, name, size }) {
  if (!box) return { waiting: 3, timers: 4, signs: false, narrow: false };
  if (shape === 'tall') return tallLines(box, { waiting, timers, size });
  const lines = Math.max(2, Math.floor((box.height - HEAD_PX) / LINE_PX));
  const kept = timers > 1 ? 1 : Math.max(1, waiting);
  const forTimers = Math.min(timers, Math.max(lines - kept, 1));
  const width =
    (name.length + 10) * LETTER_PX +
    names.reduce((sum, one) => sum + one.length * LETTER_PX + 32, 0);
  return {
    waiting: Math.max(1, lines - forTimers),
    timers: forTimers,
    signs: width > box.width - 40,
    narrow: box.width < NARROW_PX,
  };
}

/** Name and people above; a queue takes two lines and a bit, a timer one. */
const TALL_HEAD_LINES = 4.4;
const QUEUE_LINES = 2.1;
const TIMER_LINES = 1.2;

function tallLines(box, { waiting, timers, size }) {
  // On the wall the text is sized so that all of it fits.
  if (size) return { waiting: 3, timers: 4, signs: false, narrow: false };
  // "and n more" takes a line of its own.
  const more = waiting > 1 ? 1 : 0;
  const lines = Math.max(QUEUE_LINES, box.height / LINE_PX - TALL_HEAD_LINES - more);
  const forTimers = Math.min(
    timers,
    4,
    Math.max(1, Math.floor((lines - QUEUE_LINES) / TIMER_LINES)),
  );
  const rest = (lines - forTimers * TIMER_LINES) / QUEUE_LINES;
  return {
    waiting: Math.max(1, Math.min(3, waiting, Math.floor(rest))),
    timers: forTimers,
    signs: false,
    narrow: false,
  };
}

const SMALLEST_PX = 15;
const LARGEST_PX = 34;

/** The size of text on a wall, so that all a station has to say fits, as large as can be. */
export function textSize(box, { name, names, free, waiting, timers }) {
  const nameLines = 1 + (name.length > 10) + (name.length > 20);
  const people = names.reduce((sum, one) => sum + one.length + 4, 0) + (free > 0 ? 8 : 0);
  const lines =
    nameLines * 1.5 +
    Math.ceil(people / 20) * 1.5 +
    Math.max(1, Math.min(3, waiting)) * 2.8 +
    timers * 2.3 +
    1.6;
  return Math.round(
    Math.max(SMALLEST_PX, Math.min(LARGEST_PX, box.width / 11.5, box.height / (lines * 1.22))),
  );
}
