// One device, several hands: who else uses it, one tap to change, and what it says to somebody who
// went on at another device. <${OthersHere} app=${app} />  <${MovedAway} app=${app} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { sharing } from '../core/device.js';
import { Mark } from './pictures.js';
import { Sign } from './signs.js';

/** Everybody else who shares this device, as their signs. */
export function OthersHere({ app }) {
  const others = sharing(app.users, app.view.helpers);
  return others.map((id) => {
    const { name, sign } = app.view.helpers[id];
    return html`<button
      key=${id}
      class="button other-here"
      aria-label=${t('device.change-to', { name })}
      onClick=${() => app.useHelper(id)}
    >
      <${Sign} name=${sign} of=${name} size="28" /><span>${name}</span>
    </button>`;
  });
}

/** Whoever used this device is at another now. */
export function MovedAway({ app }) {
  const helper = app.view.helpers[app.users.moved];
  const others = sharing(app.users, app.view.helpers);
  return html`<div class="away" role="status">
    <p class="moved-sign">
      <${Sign} name=${helper.sign} of=${helper.name} size="96" /><${Mark} of="move" size="48" />
    </p>
    <p>${t('device.moved', { name: helper.name })}</p>
    <button class="act" onClick=${() => app.useHelper(app.users.moved)}>
      <span class="act-word">${t('device.back', { name: helper.name })}</span>
    </button>
    ${
      others.length > 0 &&
      html`<div class="row join-others"><${OthersHere} app=${app} /></div>`
    }
    <a class="button" href=${`#/day/${app.day}/join`}>${t('device.somebody-else')}</a>
  </div>`;
}
