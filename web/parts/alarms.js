// Alarms: rung and shown until a named person takes them, then shown with the name. They lie over
// the screen, so that nothing under a finger moves. <${Alarms} app=${app} />

import { html, useEffect } from '../ui.js';
import { t } from '../words/words.js';
import { countdown, span } from '../core/format.js';
import { alarmsAt, repeatMs, takers } from '../core/alarms.js';
import { timerWords } from './timers.js';
import { Mark, WorkPicture } from './pictures.js';
import { ringAlarm } from './sound.js';
import { Who } from './who.js';

const SHOWN = 3;

/** What kind of screen this is to an alarm, and whose. */
export function deviceOf(app) {
  const { screen } = app.at;
  const own = ['helper', 'wall'].includes(screen);
  return { screen: own || !app.lead ? screen : 'lead', helper: own ? app.helperId : null };
}

const named = (view, ids) => ids.map((id) => view.helpers?.[id]?.name ?? id).join(', ');

/** Who is asked, in words. */
function askedWords(app, alarm) {
  if (alarm.asked === 'tell') {
    const [first] = takers(app.view, alarm);
    return first
      ? t('alarm.tell-one', { name: app.view.helpers[first].name })
      : t('alarm.tell');
  }
  if (alarm.step === 0) return t('alarm.asks', { names: named(app.view, alarm.asks) });
  return t(alarm.step === 1 ? 'alarm.asks-able' : 'alarm.asks-all');
}

/** A take that this device has not heard back of keeps it silent here already. */
const isSent = (app, alarm) =>
  app.pending(({ command }) => command.order === 'take-alarm' && command.alarm === alarm.key);

/** Who takes it: whoever holds this device, or, on the lead's, one of those who may. */
function Take({ app, alarm }) {
  const take = (helper) => app.send({ order: 'take-alarm', alarm: alarm.key, helper });
  if (alarm.asked !== 'take') return null;
  if (isSent(app, alarm))
    return html`<span class="alarm-sent">${t('pending.sending')}</span>`;
  if (app.at.screen === 'helper')
    return html`<button class="button" onClick=${() => take(app.helperId)}>
      ${t('alarm.heard')}
    </button>`;
  const people = takers(app.view, alarm);
  if (!people.length) return null;
  return html`<${Who}
    view=${app.view}
    ask=${t('alarm.who')}
    label=${t('alarm.who-for', { what: timerWords(app.view, alarm) })}
    people=${people}
    onPick=${take}
  />`;
}

function Ringing({ app, alarm }) {
  const over = -alarm.left < 1000 ? t('alarm.now') : t('alarm.over', { span: span(-alarm.left) });
  return html`<div class=${`alarm alarm-step-${alarm.step}`}>
    <span class="alarm-picture"
      ><${WorkPicture} work=${app.view.stations[alarm.station]?.work} size="34" /><${Mark}
        of="due"
        size="26"
    /></span>
    <p>
      <strong>${timerWords(app.view, alarm)}</strong>
      <span aria-hidden="true">${over}</span>
      <b class="alarm-asks">${askedWords(app, alarm)}</b>
    </p>
    <${Take} app=${app} alarm=${alarm} />
  </div>`;
}

function Taken({ app, alarm }) {
  const { by, again_at: again } = alarm.taken;
  const name = app.view.helpers[by]?.name ?? by;
  const mine = by === app.helperId && app.at.screen === 'helper';
  return html`<p class="alarm-taken">
    <${Mark} of="done" size="20" />
    <span
      ><strong>${t(mine ? 'alarm.taken-mine' : 'alarm.taken', { name })}</strong>${' '}
      ${timerWords(app.view, alarm)}</span
    >
    <small aria-hidden="true">${t('alarm.again', { span: countdown(again - app.now) })}</small>
  </p>`;
}

/** The alarms of this device, most urgent first; `quiet` in a second place of the same screen. */
export function Alarms({ app, quiet }) {
  const all = app.view?.day && app.now !== null
    ? alarmsAt(app.view, app.timers, app.now, deviceOf(app))
    : [];
  const ringing = all.filter((alarm) => !alarm.taken);
  const taken = all.filter((alarm) => alarm.taken);
  const loud = ringing.filter((alarm) => !isSent(app, alarm));
  const keys = loud.map((alarm) => alarm.key).join(' ');
  const step = Math.max(-1, ...loud.map((alarm) => alarm.step));
  useEffect(() => {
    if (!keys || quiet) return undefined;
    const ring = () => ringAlarm(step, app.sound);
    ring();
    const repeat = setInterval(ring, repeatMs(step));
    return () => clearInterval(repeat);
  }, [keys, step, app.sound, quiet]);
  if (!all.length) return null;
  return html`<div class="alarms">
    ${
      ringing.length > 0 &&
      html`<section class="alarms-ringing" role="alert" aria-label=${t('alarm.title')}>
        ${ringing
          .slice(0, SHOWN)
          .map((alarm) => html`<${Ringing} key=${alarm.key} app=${app} alarm=${alarm} />`)}
        ${
          ringing.length > SHOWN &&
          html`<p class="alarm-more">${t('alarm.more', { n: ringing.length - SHOWN })}</p>`
        }
      </section>`
    }
    ${
      taken.length > 0 &&
      html`<section class="alarms-taken" role="status" aria-label=${t('alarm.taken-title')}>
        ${taken
          .slice(0, SHOWN)
          .map((alarm) => html`<${Taken} key=${alarm.key} app=${app} alarm=${alarm} />`)}
      </section>`
    }
  </div>`;
}
