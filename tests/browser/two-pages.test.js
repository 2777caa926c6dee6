// Two devices on one server: what one does, the other shows at once.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage } from './stage.js';
import { becomeLead, boxSays, joinAs, peopleIn, sees, tap } from './person.js';

const PEARS = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };

test('a claim and a tally on a tablet show on the lead page without a reload', async () => {
  const stage = await orchardStage({ orders: [PEARS] });
  const people = await peopleIn();
  try {
    const lead = await people.open(stage.home, { size: 'desk' });
    await becomeLead(lead.page, stage);
    await lead.page.goto(stage.at('lead'));
    await boxSays(lead.page, 'Wash fruit', '6 colanders · 18 lb');
    await boxSays(lead.page, 'Wash fruit', '3 free');
    await lead.page.evaluate(() => {
      globalThis.sameDocument = true;
    });

    const helper = await people.open(stage.at('join'), { size: 'tablet' });
    await joinAs(helper.page, 'Osk');
    await tap(helper.page, /^Wash fruit/);
    await boxSays(lead.page, 'Wash fruit', /Osk.*2 free/);

    await tap(helper.page, /^One colander done/);
    await sees(helper.page, '5 colanders waiting');
    await boxSays(lead.page, 'Wash fruit', '5 colanders · 15 lb');
    await boxSays(lead.page, 'Peel, halve and core pears', '3 lb');

    assert.equal(await lead.page.evaluate(() => globalThis.sameDocument), true);
    assert.deepEqual([...lead.faults, ...helper.faults], []);
  } finally {
    await people.close();
    await stage.stop();
  }
});
