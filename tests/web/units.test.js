// US customary and metric, against the factors of NIST Special Publication 811 (2008), appendix B.8:
// pound (avoirdupois) to kilogram 4.535 923 7 E-01; gallon (US) to cubic metre 3.785 412 E-03, which
// is 231 cubic inches of exactly 2.54 cm; bushel (US) 3.523 907 E-02 m3; foot to metre 3.048 E-01;
// inch to centimetre 2.54 E+00; psi to kilopascal 6.894 757 E+00; degree Fahrenheit to Celsius
// (t - 32) / 1.8.

import test from 'node:test';
import assert from 'node:assert/strict';
import {
  CM_IN_IN,
  KG_IN_LB,
  KPA_IN_PSI,
  L_IN_BUSHEL,
  L_IN_GALLON,
  M_IN_FT,
  celsius,
  centimetres,
  feetOf,
  kilopascals,
  metres,
  ratherTyped,
  shownAs,
  typedIn,
} from '../../web/core/units.js';
import { manner, mannerOf, setManner } from '../../web/core/manner.js';
import { decimal, measured, parsedAmount, timeOfDay, typedAmount } from '../../web/core/format.js';
import {
  heatWords,
  heightWords,
  inchWords,
  jarName,
  pressureWords,
} from '../../web/core/figures.js';

const plain = (text) => text.replace(/\s/g, ' ');
const metric = (run) => {
  setManner({ units: 'metric' });
  try {
    run();
  } finally {
    setManner();
  }
};

test('the factors are those of NIST SP 811', () => {
  assert.equal(KG_IN_LB, 0.45359237);
  assert.equal(M_IN_FT, 0.3048);
  assert.equal(CM_IN_IN, 2.54);
  assert.ok(Math.abs(L_IN_GALLON - 231 * 2.54 ** 3 * 1e-3) < 1e-12);
  assert.ok(Math.abs(L_IN_BUSHEL - 2150.42 * 2.54 ** 3 * 1e-3) < 1e-9);
  // A psi is a pound under standard gravity, 9.806 65 m/s2, on a square inch.
  assert.ok(Math.abs(KPA_IN_PSI - (KG_IN_LB * 9.80665) / (0.0254 ** 2 * 1000)) < 5e-7);
});

test('an amount is shown in what the device measures by, never as more than there is', () => {
  const shown = (amount, measure, units) => {
    const one = shownAs(amount, measure, units);
    return `${decimal(one.amount)} ${one.measure}`;
  };
  assert.deepEqual(
    [
      [7500, 'lb', 'us'],
      [7500, 'lb', 'metric'], // 3.401943 kg
      [2205, 'lb', 'metric'], // 1.000171 kg
      [250, 'lb', 'metric'], // 113.398 g
      [42000, 'lb', 'metric'], // 19.0509 kg
      [420000, 'lb', 'metric'], // 190.509 kg
      [23000, 'qt', 'metric'], // 21.7661 l
      [500, 'qt', 'metric'], // 473.176 ml
      [3000, 'kg', 'us'], // 6.61387 lb
      [250, 'kg', 'us'], // 8.8185 oz
      [2000, 'l', 'us'], // 2.11338 qt
      [3000, 'jar', 'metric'],
      [2000, 'cup', 'metric'],
      [0, 'lb', 'metric'],
      [-7500, 'lb', 'metric'],
    ].map((one) => shown(...one)),
    [
      '7.5 lb',
      '3.4 kg',
      '1 kg',
      '113 g',
      '19 kg',
      '190 kg',
      '21.7 l',
      '473 ml',
      '6.61 lb',
      '8.81 oz',
      '2.11 qt',
      '3 jar',
      '2 cup',
      '0 kg',
      '−3.4 kg',
    ],
  );
  for (let amount = 1; amount < 200000; amount += 37) {
    const one = shownAs(amount, 'lb', 'metric');
    const kg = one.measure === 'g' ? one.amount / 1000 : one.amount;
    assert.ok(kg <= amount * KG_IN_LB + 1e-6, `${amount} lb shown as ${kg} kg`);
    assert.ok(kg >= amount * KG_IN_LB * 0.98 - 2, `${amount} lb shown as only ${kg} kg`);
  }
});

test('what is typed with another unit is kept in the measure of the step', () => {
  assert.deepEqual(
    [
      ['2.5', 'lb'],
      ['2.5 kg', 'lb'], // 5.511557 lb
      ['2,5kg', 'lb'],
      ['8 oz', 'lb'],
      ['1000 g', 'kg'],
      ['1 gal', 'qt'],
      ['2 pt', 'qt'],
      ['3 l', 'qt'], // 3.170065 qt
      ['1 bu', 'qt'], // 37.236698 liquid quarts
      ['1 kg', 'qt'],
      ['1 kg', 'jar'],
      ['kg', 'lb'],
      ['1 stone', 'lb'],
    ].map(([text, measure]) => typedAmount(text, measure)),
    [2500, 5512, 5512, 500, 1000, 4000, 1000, 3170, 37237, null, null, null, null],
  );
  assert.equal(typedIn('2 kg', undefined, parsedAmount), null);
  assert.equal(typedAmount('2.5', undefined), 2500);
  assert.equal(ratherTyped('lb', 'metric'), 'kg');
  assert.equal(ratherTyped('lb', 'us'), null);
  assert.equal(ratherTyped('jar', 'metric'), null);
});

test('what a metric device types comes back as it was typed', () => {
  for (let hundredths = 100; hundredths < 1000; hundredths += 1) {
    const typed = `${hundredths / 100} kg`;
    const back = shownAs(typedAmount(typed, 'lb') + 1, 'lb', 'metric');
    assert.equal(`${decimal(back.amount)} ${back.measure}`, typed);
  }
});

test('pressures and altitudes are never converted towards less', () => {
  for (let psi = 1; psi <= 20; psi += 0.5) {
    assert.ok(kilopascals(psi) >= psi * KPA_IN_PSI - 1e-6);
    assert.ok(kilopascals(psi) < psi * KPA_IN_PSI + 1);
  }
  assert.equal(kilopascals(11), 76);
  for (let m = -100; m < 4000; m += 1) {
    assert.ok(feetOf(m) * M_IN_FT >= m - 1e-6);
    // A field of metres shows what was typed.
    assert.equal(Math.floor(feetOf(m) * M_IN_FT + 1e-9), m);
  }
  assert.equal(feetOf(304.8), 1000);
  assert.equal(metres(1000), 305);
  assert.equal(celsius(212), 100);
  assert.equal(celsius(140), 60);
  assert.equal(celsius(180), 82);
  assert.equal(centimetres(0.5), 1.3);
});

test('the tested figure stands there in both manners', () => {
  assert.equal(plain(pressureWords(11)), '11 psi');
  assert.equal(plain(heatWords(180)), '180 °F');
  assert.equal(plain(heightWords(1000)), '1,000 ft');
  assert.equal(plain(inchWords(32)), '1/2 in');
  assert.equal(jarName('quart'), 'Quart jars');
  metric(() => {
    assert.equal(plain(pressureWords(11)), '11 psi (76 kPa)');
    assert.equal(plain(heatWords(180)), '180 °F (82 °C)');
    assert.equal(plain(heightWords(1000)), '1,000 ft (305 m)');
    assert.equal(plain(inchWords(32)), '1/2 in (1.3 cm)');
    assert.equal(plain(inchWords(96)), '1 1/2 in (3.8 cm)');
    assert.equal(jarName('quart'), 'Quart jars (0.94 l)');
    assert.equal(plain(measured(7500, 'lb')), '3.4 kg');
  });
  assert.equal(manner().units, 'us');
});

test('a device is read from its languages', () => {
  const of = (languages, spoken) => {
    const { halfDays, units, point, locale } = mannerOf(languages, spoken);
    return `${locale} ${units} ${halfDays ? '12' : '24'} ${point}`;
  };
  assert.deepEqual(
    [
      of(['en-US', 'en'], 'en'),
      of(['en-GB', 'en'], 'en'),
      of(['es-US', 'es'], 'es'),
      of(['es-MX', 'es'], 'es'),
      of(['es-ES', 'es'], 'es'),
      of(['de-CH', 'de'], 'en'),
      of(['en-US', 'en'], 'es'),
      of(['en'], 'en'),
    ],
    [
      'en-US us 12 .',
      'en-GB metric 24 .',
      'es-US us 12 .',
      'es-MX metric 12 .',
      'es-ES metric 24 ,',
      'en-CH metric 24 .',
      'es-US us 12 .',
      'en us 12 .',
    ],
  );
});

test('a time of day is written as the device writes it', () => {
  const at = new Date(2026, 8, 12, 14, 5).getTime();
  assert.equal(timeOfDay(at), '14:05');
  setManner({ locale: 'en-US', halfDays: true });
  assert.equal(plain(timeOfDay(at)), '2:05 PM');
  setManner();
});
