// The code for joining and whether the wall shows it. <${CodeDoor} app doors onChange />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { JoinCode } from '../join-code.js';

/** `onChange(what)` changes a door. */
export function CodeDoor({ app, doors, onChange }) {
  const [turned, setTurned] = useState(null);
  if (!doors.code) return html`<p>${t('access.code-open')}</p>`;
  const { wall_shows_code: shows } = doors;
  // As it was turned, until the answer says how it is.
  const turn = async () => {
    setTurned(!shows);
    await onChange({ 'wall-shows-code': !shows });
    setTurned(null);
  };
  return html`<section aria-label=${t('access.code')}>
    <h3>${t('access.code')}</h3>
    <p class="access-code">${doors.code}</p>
    <p class="soft">${t('access.code-about')}</p>
    <label class="check"
      ><input
        type="checkbox"
        checked=${turned ?? shows}
        onChange=${turn}
      /><span>${t('access.wall-shows')}</span></label
    >
    <button class="button" onClick=${() => onChange({ renew: 'code' })}>
      ${t('access.code-new')}
    </button>
    <${JoinCode} day=${app.day} fresh=${doors.code} />
  </section>`;
}
