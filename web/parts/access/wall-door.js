// The link that makes a screen a wall. <${WallDoor} app doors onChange />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { Fold } from '../sheet.js';

/** `onChange(what)` changes a door. */
export function WallDoor({ app, doors, onChange }) {
  const link = `${app.me?.address ?? ''}#/watch/${doors.watch}/day/${app.day}/wall`;
  // Drawn anew when the link is another; which one it is does not stand in the address of the picture.
  return html`<section aria-label=${t('access.wall')}>
    <h3>${t('access.wall')}</h3>
    <p class="soft">${t('access.wall-about')}</p>
    <${Fold} title=${t('access.wall')}>
      <img
        key=${doors.watch}
        src=${`/api/watch.svg?day=${app.day}`}
        alt=${t('access.wall-alt')}
        width="220"
        height="220"
      />
      <p class="access-text">${link}</p>
      <p class="soft">${t('access.wall-new-why')}</p>
      <button class="button" onClick=${() => onChange({ renew: 'watch' })}>
        ${t('access.wall-new')}
      </button><//
    >
  </section>`;
}
