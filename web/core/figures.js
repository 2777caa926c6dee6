// Tested figures in words: pressures, temperatures, altitudes, headspace, jars. Pure. Invariant: the
// figure of the tables always stands there as it was tested; a metric one only stands beside it.

import { t } from '../words/words.js';
import { decimal, held } from './format.js';
import { manner } from './manner.js';
import { inches } from './process.js';
import { celsius, centimetres, JAR_LITRES, kilopascals, metres } from './units.js';

const metric = () => manner().units === 'metric';
const whole = (n) => n.toLocaleString(manner().locale);
const tenths = (n) => decimal(Math.round(n * 1000));

function figure(unit, other, n, converted) {
  return held(metric() ? t(`unit.${unit}-${other}`, { n, converted }) : t(`unit.${unit}`, { n }));
}

/** "11 psi", "11 psi (76 kPa)". */
export const pressureWords = (psi) => figure('psi', 'kpa', psi, kilopascals(psi));

/** "180 °F", "180 °F (82 °C)". */
export const heatWords = (degrees) => figure('f', 'c', degrees, celsius(degrees));

/** "1,000 ft", "1,000 ft (305 m)". */
export const heightWords = (feet) => figure('ft', 'm', whole(feet), whole(metres(feet)));

/** Headspace of so many 64ths of an inch: "1/2 in", "1/2 in (1.3 cm)". */
export const inchWords = (sixtyFourths) =>
  figure('in', 'cm', inches(sixtyFourths), tenths(centimetres(sixtyFourths / 64)));

/** Jars by their trade size: "Quart jars", "Quart jars (0.94 l)". */
export function jarName(jar) {
  const name = t(`jar-name.${jar}`);
  if (!metric() || !JAR_LITRES[jar]) return name;
  return t('jar-name.beside', { jar: name, litres: decimal(Math.floor(JAR_LITRES[jar] * 1000)) });
}
