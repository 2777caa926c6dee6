// Someone is hurt: the button on every screen of a person, the call on all screens until an adult is
// with them, and the sheet with what to do first. <${HurtButton} app=${app} />

import { html, useEffect, useState } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf } from '../core/flow.js';
import { timeOfDay } from '../core/format.js';
import { deviceOf } from './alarms.js';
import { AidCard, AidPicture, KINDS } from './first-aid.js';
import { Mark } from './pictures.js';
import { Sheet } from './sheet.js';
import { Sign } from './signs.js';
import { ringHurt } from './sound.js';
import { Who } from './who.js';

const REPEAT_MS = 8000;
const CALLS_ON = ['helper', 'lead', 'set-up', 'seals'];

const inKitchen = (helper) => ['here', 'resting'].includes(helper.presence);

/** One tap calls everybody and shows what to do first. */
export function HurtButton({ app }) {
  const [id, setId] = useState(null);
  if (!app.view?.day || !CALLS_ON.includes(app.at.screen)) return null;
  const call = () => {
    const fresh = app.mint('hurt');
    const seat = app.at.screen === 'helper' && app.view.helpers?.[app.helperId]?.station;
    app.send({ order: 'report-hurt', hurt: fresh, ...(seat && { station: seat }) });
    setId(fresh);
  };
  return html`<button class=${`button hurt-button hurt-on-${app.at.screen}`} aria-label=${t('hurt.button')} onClick=${call}>
      <${AidPicture} of="plaster" size="26" /><span aria-hidden="true">${t('hurt.short')}</span>
    </button>
    ${id && html`<${HurtSheet} app=${app} id=${id} own=${true} onClose=${() => setId(null)} />`}`;
}

/** Adults in the kitchen who could be with them. */
const helpersFor = (view, hurt) =>
  entriesOf(view.helpers)
    .filter(([id, helper]) => helper.adult && inKitchen(helper) && id !== hurt?.helper)
    .map(([id]) => id);

/** "We are with them", by a named adult. */
function Tend({ app, id }) {
  const hurt = app.view.hurts?.[id];
  const { screen, helper } = deviceOf(app);
  const tend = (who) => app.send({ order: 'hurt-tended', hurt: id, helper: who });
  if (!hurt || screen === 'wall') return null;
  if (app.pending(({ command }) => command.order === 'hurt-tended' && command.hurt === id))
    return html`<span class="alarm-sent">${t('pending.sending')}</span>`;
  if (screen === 'helper') {
    const me = app.view.helpers?.[helper];
    return me?.adult && hurt.helper !== helper
      ? html`<button class="button" onClick=${() => tend(helper)}>${t('hurt.tended')}</button>`
      : html`<b class="alarm-asks">${t('alarm.tell')}</b>`;
  }
  if (screen !== 'lead') return null;
  return html`<${Who}
    view=${app.view}
    ask=${t('hurt.who-tends')}
    people=${helpersFor(app.view, hurt)}
    onPick=${tend}
  />`;
}

/** "Wren is hurt at Slice: a cut". */
function callWords(view, hurt) {
  const name = view.helpers?.[hurt.helper]?.name;
  const place = view.stations?.[hurt.station]?.name;
  return [
    name ? t('hurt.who', { name }) : t('hurt.someone'),
    place && t('hurt.at', { station: place }),
    hurt.kind && t(`hurt.kind.${hurt.kind}`),
  ]
    .filter(Boolean)
    .join(' · ');
}

/** The open calls, over everything else, until an adult is there. */
export function HurtCalls({ app, quiet }) {
  const [open, setOpen] = useState(null);
  const calls = entriesOf(app.view?.hurts);
  const ids = calls.map(([id]) => id).join(' ');
  useEffect(() => {
    if (!ids || quiet) return undefined;
    const ring = () => ringHurt(app.sound);
    ring();
    const repeat = setInterval(ring, REPEAT_MS);
    return () => clearInterval(repeat);
  }, [ids, app.sound, quiet]);
  if (!calls.length && !open) return null;
  const wall = app.at.screen === 'wall';
  return html`${
      calls.length > 0 &&
      html`<section class="hurt-calls" role="alert" aria-label=${t('hurt.title')}>
        ${calls.map(
          ([id, hurt]) => html`<div class="hurt-call" key=${id}>
            <${AidPicture} of=${hurt.kind ?? 'plaster'} size=${wall ? 72 : 40} />
            <p>
              <strong>${callWords(app.view, hurt)}</strong>
              <span>${t('hurt.since', { at: timeOfDay(hurt.at) })}</span>
            </p>
            ${
              !wall &&
              html`<button class="button" onClick=${() => setOpen(id)}>${t('hurt.what')}</button>`
            }
            <${Tend} app=${app} id=${id} />
          </div>`,
        )}
      </section>`
    }
    ${open && html`<${HurtSheet} app=${app} id=${open} onClose=${() => setOpen(null)} />`}`;
}

/** What became of the call, so far. */
function CallState({ app, id, own }) {
  const hurt = app.view.hurts?.[id];
  const unsent = app.pending(({ command }) => command.hurt === id);
  if (hurt)
    return html`<p class="aid-state"><${Mark} of="bell" /><b>${callWords(app.view, hurt)}.</b>
      ${t('hurt.called')}</p>`;
  if (unsent && !app.line.up)
    return html`<p class="aid-state" role="alert"><${Mark} of="cut" /><b>${t('hurt.no-line')}</b></p>`;
  return html`<p class="aid-state">
    <${Mark} of="done" />${t(unsent && own ? 'pending.sending' : 'hurt.over')}
  </p>`;
}

/** What to do first, who it is, and the way back from a mistaken tap. */
function HurtSheet({ app, id, own, onClose }) {
  const hurt = app.view.hurts?.[id];
  const say = (more) => app.send({ order: 'report-hurt', hurt: id, ...more });
  const people = entriesOf(app.view.helpers).filter(([, one]) => inKitchen(one));
  return html`<${Sheet} app=${app} title=${t('hurt.title')} onClose=${onClose} calm=${true}>
    <${CallState} app=${app} id=${id} own=${own} />
    <div class="row hurt-ends">
      <${Tend} app=${app} id=${id} />
      ${
        hurt &&
        html`<button
          class="button"
          onClick=${() => {
            app.send({ order: 'take-back-hurt', hurt: id });
            onClose();
          }}
        >
          <${Mark} of="undo" />${t('hurt.mistake')}
        </button>`
      }
    </div>
    <p class="aid-first">${t('aid.first')}</p>
    <p class="caution caution-danger"><${Mark} of="danger" />${t('aid.emergency')}</p>
    <div class="aid-cards">
      ${KINDS.map(
        (kind) =>
          html`<${AidCard}
            key=${kind}
            kind=${kind}
            said=${hurt?.kind === kind}
            onSay=${() => say({ kind })}
          />`,
      )}
    </div>
    <p class="soft">${t('aid.usual')}</p>
    ${
      hurt &&
      !hurt.helper &&
      html`<section class="hurt-people">
        <h3>${t('hurt.who-is')}</h3>
        <div class="row">
          ${people.map(
            ([one, helper]) =>
              html`<button class="button" key=${one} onClick=${() => say({ helper: one })}>
                <${Sign} name=${helper.sign} size="28" of=${helper.name} />${helper.name}
              </button>`,
          )}
        </div>
        <p class="soft">${t('hurt.frees')}</p>
      </section>`
    }<//
  >`;
}
