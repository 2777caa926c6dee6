// Joining a day: pick yourself by your sign, or add yourself. The device remembers who you are, and
// a helper who is at another device comes over by being picked here.

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { joinOrder } from '../core/device.js';
import { Frame } from '../parts/frame.js';
import { DeviceChoice } from '../parts/device-choice.js';
import { later } from '../parts/later.js';
import { Mark } from '../parts/pictures.js';
import { Pile } from '../parts/pile.js';
import { Sign } from '../parts/signs.js';

const AddMyself = later(
  () => import('../parts/add-myself.js').then((found) => found.AddMyself),
  { soon: true },
);

function whereabouts(app, id, helper) {
  const at = app.holders[id];
  if (app.users.shared.includes(id)) return 'join.on-this';
  if (helper.presence === 'gone') return 'presence.gone';
  if (at !== undefined && at !== app.me?.device) return 'join.elsewhere';
  return helper.presence === 'here' ? 'join.not-yet' : `presence.${helper.presence}`;
}

function People({ app, onPick, onNew }) {
  return html`<ul class="join-people">
    <li>
      <button class="join-person join-new" onClick=${onNew}>
        <${Mark} of="newcomer" size="76" />
        <strong>${t('join.not-listed')}</strong>
      </button>
    </li>
    ${joinOrder(app.view.helpers, app.users, app.holders).map(
      ([id, helper]) =>
        html`<li key=${id}>
          <button class="join-person" onClick=${() => onPick(id)}>
            <${Sign} name=${helper.sign} of=${helper.name} size="76" />
            <strong>${helper.name}</strong
            ><small class="soft">${t(whereabouts(app, id, helper))}</small>
          </button>
        </li>`,
    )}
  </ul>`;
}

/** A day that is closed takes nobody in, and says where to look instead. */
function Over({ app }) {
  return html`<div class="empty">
    <span class="shelf"
      ><${Pile} carriers=${3000} name="jar" scale=${1.6} /><${Pile}
        carriers=${2000}
        name="bowl"
        scale=${1.4}
    /></span>
    <h2>${t('join.over')}</h2>
    <p>${t('join.over-why')}</p>
    <div class="row">
      <a class="button button-act" href=${`#/day/${app.day}/look-back`}>${t('nav.look-back')}</a>
      <a class="button" href="#/">${t('nav.days')}</a>
    </div>
  </div>`;
}

function Choose({ app }) {
  const [adding, setAdding] = useState(false);
  const enter = (id) => {
    app.useHelper(id);
    app.go(`#/day/${app.day}/helper`);
  };
  const pick = (id) => {
    const { presence } = app.view.helpers[id] ?? {};
    if (['expected', 'gone'].includes(presence)) app.send({ order: 'arrive', helper: id });
    enter(id);
  };
  if (adding)
    return html`<${AddMyself}
      app=${app}
      onDone=${enter}
      onAmListed=${pick}
      onBack=${() => setAdding(false)}
    />`;
  return html`<${People} app=${app} onPick=${pick} onNew=${() => setAdding(true)} />
    <p class="soft">${t('join.no-account')}</p>`;
}

/** The screen at `#/day/ID/join`. */
export function JoinScreen({ app }) {
  const at = (screen) => `#/day/${app.day}/${screen}`;
  const tools = html`<a class="button button-quiet" href="#/">${t('nav.days')}</a>
    <a class="button button-quiet" href=${at('wall')}>${t('nav.wall')}</a>
    ${
      app.lead && html`<a class="button button-quiet" href=${at('lead')}>${t('nav.lead')}</a>`
    }`;
  return html`<${Frame}
    app=${app}
    title=${t(app.closed ? 'join.over-title' : 'join.title')}
    sub=${app.view.day.name}
    kind="narrow join"
    tools=${tools}
  >
    <${DeviceChoice} app=${app} />
    ${app.closed ? html`<${Over} app=${app} />` : html`<${Choose} app=${app} />`}<//
  >`;
}
