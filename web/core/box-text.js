// How much text a station's box has room for. Pure arithmetic on estimates of width; the browser
// cuts what still does not fit. Invariant: there is always one line for what waits.

const LINE_PX = 16.7;
const HEAD_PX = 37;
const LETTER_PX = 7.6;
const NARROW_PX = 270;

/** A box lower than this has no room for a name of two lines beside a mark. */
const LOW_PX = 84;

/** `{waiting, timers, signs, narrow, low}`: lines for queues and for timers, whether people are
 * signs only, whether the work's picture must go, and whether the box is low. */
export function linesFor(shape, box, { waiting, timers, more = 0, marks = 0, names, name, size }) {
  if (!box) return { waiting: 3, timers: 4, signs: false, narrow: false, low: false };
  const narrow = box.width < NARROW_PX;
  if (shape === 'tall') return tallLines(box, { waiting, timers, more: more + marks, size });
  // One mark stands beside the queue; two, or one in a narrow box, take a line of their own.
  const said = more + (marks > 1 || (marks > 0 && narrow) ? 1 : 0);
  const lines = Math.max(said ? 1 : 2, Math.floor((box.height - HEAD_PX) / LINE_PX) - said);
  const kept = timers > 1 ? 1 : Math.max(1, waiting);
  const forTimers = Math.min(timers, Math.max(lines - kept, 1));
  const width =
    (name.length + 10) * LETTER_PX +
    names.reduce((sum, one) => sum + one.length * LETTER_PX + 32, 0);
  return {
    waiting: Math.max(1, lines - forTimers),
    timers: forTimers,
    signs: width > box.width - 40,
    narrow,
    low: box.height < LOW_PX,
  };
}

/** Name and people above; a queue takes two lines and a bit, a timer one. */
const TALL_HEAD_LINES = 4.4;
const QUEUE_LINES = 2.1;
const TIMER_LINES = 1.2;

function tallLines(box, { waiting, timers, more: said, size }) {
  // On the wall the text is sized so that all of it fits.
  if (size) return { waiting: 3, timers: 4, signs: false, narrow: false };
  // "and n more" takes a line of its own.
  const more = waiting > 1 ? 1 : 0;
  const lines = Math.max(
    QUEUE_LINES,
    box.height / LINE_PX - TALL_HEAD_LINES - more - said * TIMER_LINES,
  );
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
export function textSize(box, said) {
  const { name, names, free, waiting, timers, says, idle, marks, minutes } = said;
  const nameLines = 1 + (name.length > 10) + (name.length > 20);
  const people = names.reduce((sum, one) => sum + one.length + 4, 0) + (free > 0 ? 8 : 0);
  const lines =
    nameLines * 1.5 +
    Math.ceil(people / 20) * 1.5 +
    Math.max(1, Math.min(3, waiting)) * 2.5 +
    timers * 2.3 +
    (says ? 3.2 : 0) +
    (idle ? 2.4 : 0) +
    (marks ?? 0) * 1.4 +
    (minutes ? 1.5 : 0) +
    1.6;
  return Math.round(
    Math.max(SMALLEST_PX, Math.min(LARGEST_PX, box.width / 11.5, box.height / (lines * 1.18))),
  );
}
