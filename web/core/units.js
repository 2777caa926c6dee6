// US customary measures and metric ones, one into the other, for the eye and for what is typed. Pure.
// Invariants: what is counted stays in the measure it was counted in; an amount shown is never
// more than there is; a pressure and an altitude are never converted towards less.

/** Kilograms in a pound, exactly. */
export const KG_IN_LB = 0.45359237;
/** Litres in a US liquid gallon, exactly. */
export const L_IN_GALLON = 3.785411784;
/** Litres in a US bushel, exactly (2150.42 cubic inches). */
export const L_IN_BUSHEL = 35.23907016688;
/** Metres in a foot, exactly. */
export const M_IN_FT = 0.3048;
/** Centimetres in an inch, exactly. */
export const CM_IN_IN = 2.54;
/** Kilopascals in a pound-force per square inch. */
export const KPA_IN_PSI = 6.894757;

const L_IN_QT = L_IN_GALLON / 4;

/** Litres in each jar. */
export const JAR_LITRES = {
  'half-pint': L_IN_QT / 4,
  pint: L_IN_QT / 2,
  quart: L_IN_QT,
  'half-gallon': L_IN_QT * 2,
};

// What is typed after a number, in kilograms or litres.
const TYPED = {
  weight: { lb: KG_IN_LB, oz: KG_IN_LB / 16, kg: 1, g: 0.001 },
  volume: {
    qt: L_IN_QT,
    pt: L_IN_QT / 2,
    gal: L_IN_GALLON,
    bu: L_IN_BUSHEL,
    l: 1,
    ml: 0.001,
  },
};

const kindOf = (measure) => Object.values(TYPED).find((units) => measure in units);

// Floating point lies a hair under whole thousandths: 2.5 lb is 2499.9999… of them.
const HAIR = 1e-6;

/** Cut to about three figures, never up: 1.1339 kg is 1.13. Thousandths in and out. */
function cut(thousandths) {
  const size = Math.abs(thousandths) + HAIR;
  const step = size >= 100000 ? 1000 : size >= 10000 ? 100 : 10;
  return Math.sign(thousandths) * Math.floor(size / step) * step;
}

const OTHER = {
  metric: { lb: ['kg', 'g'], qt: ['l', 'ml'] },
  us: { kg: ['lb', 'oz'], l: ['qt', 'qt'] },
};

/** `{amount, measure}` as a device of `units` shows an amount (thousandths) of a measure. */
export function shownAs(amount, measure, units) {
  const [large, small] = OTHER[units]?.[measure] ?? [];
  if (!large) return { amount, measure };
  const kind = kindOf(measure);
  const exact = (unit) => (amount * kind[measure]) / kind[unit];
  if (Math.abs(exact(large)) + HAIR >= 1000 || amount === 0)
    return { amount: cut(exact(large)), measure: large };
  const step = small === 'g' || small === 'ml' ? 1000 : 10;
  const whole = Math.floor((Math.abs(exact(small)) + HAIR) / step) * step;
  return { amount: Math.sign(amount) * whole, measure: small };
}

/**
 * What "2.5 kg" is in `measure`, in thousandths to the nearest one; null when no unit of its kind
 * stands behind the number. `parse` reads the number itself.
 */
export function typedIn(text, measure, parse) {
  const found = /^(.*?[\d.,])\s*([a-z]+)\.?$/i.exec(String(text).trim());
  const kind = kindOf(measure);
  const unit = found?.[2].toLowerCase();
  if (!found || !kind || !(unit in kind)) return null;
  const number = parse(found[1]);
  return number === null ? null : Math.round((number * kind[unit]) / kind[measure]);
}

/** The unit a device of `units` would rather type in a field of `measure`, or null. */
export const ratherTyped = (measure, units) => OTHER[units]?.[measure]?.[0] ?? null;

/** Kilopascals of a pressure, whole ones, never under it. */
export const kilopascals = (psi) => Math.ceil(psi * KPA_IN_PSI - HAIR);

/** Degrees Celsius, to the nearest. */
export const celsius = (fahrenheit) => Math.round(((fahrenheit - 32) * 5) / 9);

/** Whole metres of an altitude, never under it. */
export const metres = (feet) => Math.ceil(feet * M_IN_FT - HAIR);

/** Whole feet of an altitude in metres, never under it: what is higher is processed longer. */
export const feetOf = (m) => Math.ceil(m / M_IN_FT - HAIR);

/** Centimetres to the tenth. */
export const centimetres = (inches) => Math.round(inches * CM_IN_IN * 10) / 10;
