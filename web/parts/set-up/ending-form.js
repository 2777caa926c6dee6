// What a product ends in. Jars for the shelf are chosen among the foods with a tested process, with
// the minutes for this kitchen at once, or the reason why there are none.
// <${Ending} app=${app} plan=${plan} onPlan=${setPlan} />

import { html, useEffect, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { jarName } from '../../core/figures.js';
import { entriesOf } from '../../core/flow.js';
import { cannerOn } from '../../core/process.js';
import { foodNamed, foodsInOrder, isTabled, testedPath } from '../../core/foods.js';
import { ChoiceField, TextField } from '../fields.js';
import { NoProcess, ProcessFacts } from '../process-facts.js';
import { JARS } from './nature-form.js';
import { MEASURES } from './route-form.js';

const ENDINGS = ['canned', 'frozen', 'fresh', 'stocked', 'shared'];
const PACKS = ['hot', 'raw'];

/** An ending with its usual members. */
function endingOf(as) {
  if (as === 'canned') return { as, food: '', pack: 'hot', jar: 'quart' };
  if (as === 'frozen') return { as, package: 'bag' };
  if (as === 'fresh') return { as, package: 'lb' };
  if (as === 'stocked') return { as, supply: '', package: 'jar' };
  return { as };
}

function Food({ app, plan, method, onFood }) {
  const { food } = plan.ends_in;
  if (!app.foods)
    return html`<${TextField}
      label=${t('product.food')}
      hint=${t('product.foods-unread')}
      value=${food}
      onValue=${onFood}
    />`;
  const known = foodNamed(app.foods, food);
  const names = foodsInOrder(app.foods, plan.produce, method).map((one) => [one.name, one.name]);
  const odd = food && !names.some(([name]) => name === known?.name);
  const options = odd ? [[food, t('product.food-unknown', { food })], ...names] : names;
  return html`<${ChoiceField}
    label=${t('product.food')}
    hint=${known?.caution ?? t('product.food-hint')}
    value=${odd ? food : known?.name}
    onValue=${(name) => onFood(name ?? '')}
    options=${options}
    empty=${t('product.food-none')}
  />`;
}

/** The tested process of what is chosen, asked for anew with each choice. */
function Tested({ app, ending, method }) {
  const [answer, setAnswer] = useState(null);
  const feet = app.view.day.altitude_ft;
  const path = ending.food && feet !== undefined ? testedPath(ending, method, feet) : null;
  useEffect(() => {
    let gone = false;
    setAnswer(null);
    if (path) app.get(path).then((found) => !gone && setAnswer(found));
    return () => {
      gone = true;
    };
  }, [path]);
  if (!ending.food) return null;
  if (!path) return html`<p class="caution">${t('product.no-altitude')}</p>`;
  if (!answer) return html`<p class="soft">${t('product.asking')}</p>`;
  if (answer.status === 200)
    return html`<${ProcessFacts} tested=${{ ...answer.body, method }} by=${null} />`;
  const refused = answer.body ?? { detail: t('days.unreachable') };
  return html`<${NoProcess} refused=${refused}><p>${t('product.refused')}</p><//>`;
}

function Canned({ app, plan, onEnding }) {
  const ending = plan.ends_in;
  const set = (member) => (value) => onEnding({ ...ending, [member]: value });
  const canner = cannerOn(app.view, plan.route);
  const method = app.view.stations?.[canner]?.nature?.method ?? 'boiling-water';
  const known = foodNamed(app.foods, ending.food);
  const named = (words, choice) =>
    known && !isTabled(known, method, { ...ending, ...choice })
      ? t('product.not-tabled', { name: words })
      : words;
  return html`<${Food} app=${app} plan=${plan} method=${method} onFood=${set('food')} />
    <${ChoiceField}
      label=${t('product.pack')}
      value=${ending.pack}
      onValue=${set('pack')}
      options=${PACKS.map((pack) => [pack, named(t(`pack.${pack}`), { pack })])}
    />
    <${ChoiceField}
      label=${t('product.jar')}
      value=${ending.jar}
      onValue=${set('jar')}
      options=${JARS.map((jar) => [jar, named(jarName(jar), { jar })])}
    />
    <section class="tested-answer" aria-label=${t('product.tested')}>
      <h3>${t('product.tested')}</h3>
      <p class="soft">
        ${canner ? t('product.method', { method: t(`method.${method}`) }) : t('product.no-canner')}
      </p>
      <${Tested} app=${app} ending=${ending} method=${method} />
    </section>`;
}

/** Edits the ending of a plan. */
export function Ending({ app, plan, onPlan }) {
  const ending = plan.ends_in;
  const put = (next) => onPlan({ ...plan, ends_in: next });
  const set = (member) => (value) => put({ ...ending, [member]: value });
  const measures = MEASURES.map((one) => [one, t(`measure-name.${one}`)]);
  return html`<div class="pair">
    <${ChoiceField}
      label=${t('product.ends-in')}
      value=${ending.as}
      onValue=${(as) => put(endingOf(as))}
      options=${ENDINGS.map((one) => [one, t(`ending.${one}`)])}
    />
    ${ending.as === 'canned' && html`<${Canned} app=${app} plan=${plan} onEnding=${put} />`}
    ${
      ending.as === 'stocked' &&
      html`<${ChoiceField}
        label=${t('word.supply')}
        value=${ending.supply}
        onValue=${set('supply')}
        options=${entriesOf(app.view.supplies).map(([id, one]) => [id, one.name])}
        empty=${t('choose')}
      />`
    }
    ${
      'package' in ending &&
      html`<${ChoiceField}
        label=${t('product.package')}
        value=${ending.package}
        onValue=${set('package')}
        options=${measures}
      />`
    }
  </div>`;
}
