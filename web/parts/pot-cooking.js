// A pot on the heat: its countdowns, stirred and how thick, done, handed over to somebody else.
// <${Cooking} app=${app} where=${{ station, pot, helper }} pot=${pot} />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { takers } from '../core/alarms.js';
import { entriesOf } from '../core/flow.js';
import { BigTimer } from './timers.js';
import { ChoiceField, AmountField } from './fields.js';
import { Fold } from './sheet.js';
import { OrderForm } from './order-form.js';
import { ScrapPot } from './pot-scrap.js';
import { Who } from './who.js';

const THICKNESS = ['thin', 'half', 'thick'];

/** What a cooking pot asks of whoever minds it. */
export function Cooking({ app, where, pot }) {
  const [made, setMade] = useState(undefined);
  const timers = app.timers.filter((one) => one.station === where.station && one.pot === where.pot);
  const by = where.helper ? { helper: where.helper } : {};
  const stirred = (thickness) =>
    app.send({
      order: 'stirred',
      station: where.station,
      pot: where.pot,
      thickness,
      ...by,
    });
  const done = () => ({
    order: 'pot-done',
    station: where.station,
    pot: where.pot,
    ...by,
    ...(made && { made }),
  });
  return html`<div class="big-timers">
      ${timers.map(
        (timer) => html`<${BigTimer} key=${timer.key} view=${app.view} timer=${timer} />`,
      )}
    </div>
    <p class="soft">
      ${t('pot.minded', {
        minder: app.view.helpers[pot.minder]?.name ?? t('pot.nobody'),
        backup: app.view.helpers[pot.backup]?.name ?? t('pot.nobody'),
      })}
    </p>
    ${!pot.backup && html`<${NameBackup} app=${app} where=${where} pot=${pot} />`}
    <fieldset class="stirred">
      <legend>${t('pot.stirred')}</legend>
      <div class="row">
        ${THICKNESS.map(
          (one) =>
            html`<button key=${one} class="button button-act" onClick=${() => stirred(one)}>
              ${t(`thickness.${one}`)}${pot.thickness === one ?
                html`<small>${t('pot.was')}</small>` : ''}
            </button>`,
        )}
      </div>
    </fieldset>
    <${Fold} title=${t('pot.finish')}
      ><${OrderForm} app=${app} button=${t('pot.done')} build=${done}>
        <${AmountField}
          label=${t('pot.made')}
          hint=${t('pot.made-hint')}
          value=${made}
          onValue=${setMade} /><//
    ><//>
    <${Fold} title=${t('pot.hand-over')}><${HandOver} app=${app} where=${where} pot=${pot} /><//>
    <${ScrapPot} app=${app} where=${where} />`;
}

/** A pot without a backup asks for one: one tap more names them. */
function NameBackup({ app, where, pot }) {
  const people = takers(app.view, where).filter((id) => id !== pot.minder);
  if (!people.length) return null;
  const name = (helper) =>
    app.send({ order: 'name-backup', station: where.station, pot: where.pot, helper });
  return html`<${Who}
    view=${app.view}
    ask=${t('pot.name-backup')}
    people=${people}
    onPick=${name}
  />`;
}

function HandOver({ app, where, pot }) {
  const [minder, setMinder] = useState(pot.minder);
  const [backup, setBackup] = useState(pot.backup);
  const people = entriesOf(app.view.helpers)
    .filter(([, one]) => one.presence === 'here')
    .map(([id, one]) => [id, one.name]);
  const build = () =>
    minder
      ? {
          order: 'hand-over-pot',
          station: where.station,
          pot: where.pot,
          minder,
          ...(backup && { backup }),
        }
      : t('pot.say-minder');
  return html`<${OrderForm} app=${app} button=${t('pot.hand-over')} build=${build}>
    <${ChoiceField}
      label=${t('pot.minder')}
      value=${minder}
      onValue=${setMinder}
      options=${people}
      empty=${t('choose')} />
    <${ChoiceField}
      label=${t('pot.backup')}
      value=${backup}
      onValue=${setBackup}
      options=${people}
      empty=${t('pot.nobody')}
  /><//>`;
}
