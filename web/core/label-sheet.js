// Sheets of labels, measured in millimetres: where each label lies, whether the sheet can be, how
// large the words may be. Pure. Invariant: no label lies over the edge of its paper or over another.

/** Paper in mm: A4 (ISO 216), letter (ANSI/ASME Y14.1: 8.5 by 11 inches). */
export const PAPERS = { a4: [210, 297], letter: [215.9, 279.4] };

/** The smallest label that holds the words and a code a phone can read. Tried out, no source. */
const SMALLEST = [38, 21];
/** The least side of a code on paper: a phone reads modules of a third of a millimetre. Common
 * practice, no source. */
const CODE_MIN = 13;
const CODE_MAX = 26;
/** Nobody cuts or aligns better than this. */
const SLACK = 0.5;
/** Letters smaller than this are hard to read on a jar (1.9 mm is a little over 5 points). */
const LETTER_MIN = 1.9;
const LETTER_MAX = 4.6;

const sheet = (paper, width, height, columns, rows, top, left, gapX, gapY, cut = false) => ({
  paper, width, height, columns, rows, top, left, gapX, gapY, cut,
});

/** Common sheets by their measures, and plain paper to be cut. */
export const SHEETS = [
  sheet('a4', 63.5, 38.1, 3, 7, 15.1, 7.2, 2.5, 0),
  sheet('a4', 70, 37, 3, 8, 0.5, 0, 0, 0),
  sheet('a4', 99.1, 57, 2, 5, 6, 4.65, 2.5, 0),
  sheet('letter', 66.7, 25.4, 3, 10, 12.7, 4.7, 3.2, 0),
  sheet('letter', 101.6, 50.8, 2, 5, 12.7, 4.0, 4.7, 0),
  sheet('a4', 63, 39, 3, 7, 12, 10.5, 0, 0, true),
  sheet('letter', 64, 41, 3, 6, 16.7, 11.9, 0, 0, true),
];

/** The measures a lead may type. */
export const MEASURES = ['width', 'height', 'columns', 'rows', 'top', 'left', 'gapX', 'gapY'];

const isWhole = (n) => Number.isInteger(n) && n >= 1 && n <= 30;

/**
 * Why a sheet cannot be, or null: `{fault, measure?, over?}`; the fault is "number", "small", "wide"
 * or "high", `over` the millimetres that are too much.
 */
export function sheetFault(one) {
  for (const measure of MEASURES) {
    const n = one[measure];
    const good =
      measure === 'columns' || measure === 'rows'
        ? isWhole(n)
        : Number.isFinite(n) && n >= 0 && n <= 400;
    if (!good) return { fault: 'number', measure };
  }
  if (one.width < SMALLEST[0] || one.height < SMALLEST[1]) return { fault: 'small' };
  const [paperWidth, paperHeight] = PAPERS[one.paper] ?? PAPERS.a4;
  const right = one.left + one.columns * one.width + (one.columns - 1) * one.gapX;
  const bottom = one.top + one.rows * one.height + (one.rows - 1) * one.gapY;
  if (right > paperWidth + SLACK) return { fault: 'wide', over: right - paperWidth };
  if (bottom > paperHeight + SLACK) return { fault: 'high', over: bottom - paperHeight };
  return null;
}

/** The smallest label there may be, `[width, height]`. */
export const smallestLabel = () => SMALLEST;

export const labelsOnSheet = (one) => one.columns * one.rows;

/** Where the label at a place of the sheet begins, from 0, row by row: `{left, top}` in mm. */
export function placeOn(one, at) {
  const [row, column] = [Math.floor(at / one.columns), at % one.columns];
  return {
    left: one.left + column * (one.width + one.gapX),
    top: one.top + row * (one.height + one.gapY),
  };
}

/** Labels laid out on sheets, `[[{label, left, top}]]`; the first `used` places are left empty. */
export function laidOut(one, labels, used = 0) {
  const each = labelsOnSheet(one);
  const sheets = [];
  labels.forEach((label, index) => {
    const at = index + used;
    const page = Math.floor(at / each);
    sheets[page] ??= [];
    sheets[page].push({ label, ...placeOn(one, at % each) });
  });
  return sheets.filter(Boolean);
}

/** How a label is divided: `{pad, code, text}`, all in mm. */
export function inside(one) {
  const pad = one.height < 30 ? 1.6 : 2.4;
  const room = Math.min(one.height - 2 * pad, one.width * 0.36, CODE_MAX);
  const code = Math.max(CODE_MIN, room);
  return { pad, code, text: one.width - code - 3 * pad };
}

/** How wide a letter is on the whole, by its height; bold ones a little more. Measured on the faces
 * of the page, rounded up. */
const LETTER_WIDTH = 0.52;

/**
 * The height of the letters in mm by which the lines fit beside the code, at most 4.6; at least 1.9,
 * where the rest is cut off. A line is `{text, large?}`.
 */
export function letterSize(one, lines) {
  const { pad, text } = inside(one);
  const high = one.height - 2 * pad;
  for (let size = LETTER_MAX; size > LETTER_MIN; size -= 0.1) {
    const used = lines.reduce((sum, line) => {
      const height = size * (line.large ? 1.2 : 1);
      const rows = Math.ceil((line.text.length * LETTER_WIDTH * height) / text);
      return sum + rows * height * 1.2;
    }, 0);
    if (used <= high) return Math.round(size * 10) / 10;
  }
  return LETTER_MIN;
}

/** What is typed in a field of millimetres, or NaN. */
export const millimetres = (text) =>
  /^\d{1,3}([.,]\d{1,2})?$/.test(String(text).trim())
    ? Number(String(text).trim().replace(',', '.'))
    : NaN;

/** A sheet as it was kept on the device, or the first. */
export function keptSheet(text) {
  try {
    const one = JSON.parse(text);
    return one && PAPERS[one.paper] && !sheetFault(one) ? one : SHEETS[0];
  } catch {
    return SHEETS[0];
  }
}
