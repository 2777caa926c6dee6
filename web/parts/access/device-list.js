// Which devices are in, whom each stands for, and taking one off.
// <${DeviceList} app devices onTaken=${(devices) => ...} />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { whenWords } from '../../core/format.js';

function nameOf({ name, browser, system }) {
  if (name) return t('access.script', { name });
  if (browser && system) return t('access.agent', { browser, system });
  return browser || system || t('access.agent-unknown');
}

function facts(app, { role, joined_at: joined, seen_at: seen, stands_for: stands }) {
  const names = stands
    .filter(({ day }) => day === app.day)
    .map(({ helper }) => app.view.helpers?.[helper]?.name ?? helper);
  const at = (when) => ({ at: whenWords(when, app.now ?? when) });
  return [
    t(`access.role.${role}`),
    names.length && t('access.stands-for', { names: names.join(', ') }),
    joined && t('access.joined', at(joined)),
    seen && t('access.seen', at(seen)),
  ]
    .filter(Boolean)
    .join(' · ');
}

function Device({ app, one, asks, onRemove }) {
  const own = one.device === app.me?.device;
  const what = nameOf(one);
  return html`<li>
    <span
      ><strong>${what}${own && ` (${t('access.this')})`}</strong
      ><small class="soft">${facts(app, one)}</small>
      ${asks && html`<small role="alert">${t('access.last-lead')}</small>`}</span
    >
    <button
      class=${asks ? 'button button-danger' : 'button'}
      aria-label=${asks ? t('access.last-lead-yes') : t('access.take-off-of', { what })}
      onClick=${() => onRemove(one.device, asks)}
    >
      ${t(asks ? 'access.last-lead-yes' : 'access.take-off')}
    </button>
  </li>`;
}

/** The list. */
export function DeviceList({ app, devices, onTaken }) {
  const [asked, setAsked] = useState(null);
  const [trouble, setTrouble] = useState(null);
  async function remove(device, lastToo) {
    const answer = await app.post(`/api/devices/${device}/remove`, { last_too: lastToo });
    setTrouble(null);
    if (answer.status === 200) onTaken(answer.body.devices);
    else if (answer.body?.code === 'last-lead') setAsked(device);
    else setTrouble(answer.body?.detail ?? t('access.away'));
  }
  return html`<section aria-label=${t('access.list')}>
    <h3>${t('access.list')}</h3>
    ${trouble && html`<p class="problem" role="alert">${trouble}</p>`}
    <ul class="access-list">
      ${devices.map(
        (one) =>
          html`<${Device}
            key=${one.device}
            app=${app}
            one=${one}
            asks=${asked === one.device}
            onRemove=${remove}
          />`,
      )}
    </ul>
  </section>`;
}
