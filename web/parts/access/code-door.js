// The code for joining and whether the wall shows it. <${CodeDoor} app doors onChange />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { JoinCode } from '../join-code.js';

/** `onChange(what)` changes a door. */
export function CodeDoor({ app, doors, onChange }) {
  if (!doors.code) return html`<p>${t('access.code-open')}</p>`;
  const { wall_shows_code: shows } = doors;
  return html`<section aria-label=${t('access.code')}>
    <h3>${t('access.code')}</h3>
    <p class="access-code">${doors.code}</p>
    <p class="soft">${t('access.code-about')}</p>
    <label class="check"
      ><input
        type="checkbox"
        checked=${shows}
        onChange=${() => onChange({ 'wall-shows-code': !shows })}
      /><span>${t('access.wall-shows')}</span></label
    >
    <button class="button" onClick=${() => onChange({ renew: 'code' })}>
      ${t('access.code-new')}
    </button>
    <${JoinCode} day=${app.day} fresh=${doors.code} />
  </section>`;
}
