// What can hurt at a station: from what it asks of people and how it works. Pure, no words.
// Invariant: a station with heat always names burns; one that makes shelf jars names the poison
// that badly made jars can grow.

import { productsAt } from './flow.js';
import { filledHere, isBehindCanner } from './process.js';

/** The dangers at a station, in the order they are shown. */
export function cautionsFor(view, stationId) {
  const station = view.stations?.[stationId];
  if (!station) return [];
  const needs = station.needs ?? [];
  const canner = station.nature?.is === 'canner';
  const hot = needs.includes('heat') || canner || station.nature?.is === 'vessel';
  const products = productsAt(view, stationId);
  const shelf =
    canner ||
    products.some(
      (id) => filledHere(view, id, stationId).length || isBehindCanner(view, id, stationId),
    );
  const list = [
    ['blade', needs.includes('blade')],
    ['hot', hot],
    ['steam', canner || station.nature?.is === 'vessel' || station.work === 'scald'],
    ['lift', canner || needs.includes('lifting')],
    ['poison', shelf],
  ];
  return list.filter(([, holds]) => holds).map(([name]) => name);
}
