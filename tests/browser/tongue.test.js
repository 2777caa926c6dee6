// Each device in its own language and measures: what its browser says at first, then what its
// person chose, remembered; the same day on all of them.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage } from './stage.js';
import { joinAs, onStage, sees, tap } from './person.js';

const ONE_COLANDER = {
  order: 'open-box',
  lot: 'pears-hill',
  product: 'pears-quart',
  amount: 3000,
};

const staged = (run) => onStage(() => orchardStage({ orders: [ONE_COLANDER] }), run);

const WORDS = /\/words\/(\w+)\.js$/;

test('a Mexican phone begins in Spanish and metric, and fetches no other words', () =>
  staged(async (stage, people) => {
    const { page, faults } = await people.open(`${stage.base}/icon.svg`, {
      size: 'phone',
      lang: 'es-MX',
    });
    const fetched = [];
    page.on('request', (request) => {
      const file = WORDS.exec(request.url())?.[1];
      if (file) fetched.push(file);
    });
    await page.goto(stage.at('join'));
    await sees(page, '¿Quién eres?');
    assert.equal(await page.locator('html').getAttribute('lang'), 'es');
    assert.deepEqual(fetched.sort(), ['device', 'es', 'words']);
    await joinAs(page, 'Osk');
    await tap(page, /^Lavar la fruta/);
    await tap(page, /^Listo: 1 colador/);
    // 3 lb are 1.36 kg; nobody but this device reckons in them.
    await sees(page, /Contado a las? .*1\.36\skg Peras en mitades, cuartos/);
    assert.equal((await stage.view()).stations.pare.waiting['pears-quart'].amount, 3000);
    assert.deepEqual(faults, []);
  }));

test('one tap on joining changes the language, another the measures; both are remembered', () =>
  staged(async (stage, people) => {
    const { page, faults } = await people.open(stage.at('join'), { size: 'phone' });
    await sees(page, 'Who are you?');
    await tap(page, 'Español');
    await sees(page, '¿Quién eres?');
    assert.equal(await page.locator('html').getAttribute('lang'), 'es');
    await page.reload();
    await sees(page, '¿Quién eres?');
    await tap(page, 'kg · °C');
    await joinAs(page, 'Osk');
    await tap(page, /^Lavar la fruta/);
    await tap(page, /^Listo: 1 colador/);
    await sees(page, /Contado a las? .*1\.36\skg/);
    // From a helper's screen it is one tap too.
    await tap(page, 'English');
    await sees(page, /Counted at .*1\.36\skg/);
    assert.deepEqual(faults, []);
  }));

test('a refusal is in the language of the device it is shown on', () =>
  staged(async (stage, people) => {
    const { page } = await people.open(stage.at('join'), { size: 'phone', lang: 'es-MX' });
    await joinAs(page, 'Wren');
    await tap(page, /^Lavar la fruta/);
    const answer = await page.evaluate(async (path) => {
      const command = { order: 'undo-tally', station: 'wash', helper: 'wren' };
      const sent = await fetch(path, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ id: crypto.randomUUID(), command }),
      });
      const body = await sent.json();
      const { refusalWords } = await import('/words/words.js');
      return { code: body.code, english: body.detail, words: refusalWords(body.code, body.words) };
    }, `/api/days/${stage.day}/commands`);
    assert.equal(answer.code, 'nothing-to-undo');
    assert.match(answer.english, /^There is no tally at Wash fruit/);
    assert.equal(answer.words.what, 'En Lavar la fruta no hay ninguna cuenta que deshacer.');
  }));
