// How large a copy is, in words.

import test from 'node:test';
import assert from 'node:assert/strict';
import { sizeWords } from '../../web/core/copies.js';
import { setManner } from '../../web/core/manner.js';

test('a size is told in the unit that needs the fewest digits', () => {
  setManner({ locale: 'en', halfDays: false, units: 'us' });
  const said = (bytes) => sizeWords(bytes).replace('\u00a0', ' ');
  assert.deepEqual(
    [0, 512, 1000, 61_440, 999_949, 1_000_000, 2_340_000, 512_000_000, 7_000_000_000_000].map(said),
    ['0 kB', '0.5 kB', '1 kB', '61 kB', '1,000 kB', '1 MB', '2.3 MB', '512 MB', '7,000 GB'],
  );
  setManner({ locale: 'es', halfDays: false, units: 'metric' });
  assert.equal(said(2_340_000), '2,3 MB');
});
