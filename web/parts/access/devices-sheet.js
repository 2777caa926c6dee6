// How devices come in and which are in: the lead's sheet. <${DevicesSheet} app=${app} onClose=${close} />

import { html, useEffect, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { Problem } from '../problem.js';
import { Sheet } from '../sheet.js';
import { CodeDoor } from './code-door.js';
import { WallDoor } from './wall-door.js';
import { DeviceList } from './device-list.js';
import { ScriptKey } from './script-key.js';

/** The sheet; asks anew when something changes at the doors, and at once after each change here. */
export function DevicesSheet({ app, onClose }) {
  const [doors, setDoors] = useState(null);
  const [devices, setDevices] = useState(null);
  const [trouble, setTrouble] = useState(null);

  /** Takes an answer into its place, or shows what is wrong; tells whether it was taken. */
  function taken(answer, place) {
    const fine = answer.status >= 200 && answer.status < 300;
    setTrouble(fine ? null : (answer.body ?? { detail: t('access.away') }));
    if (fine) place(answer.body);
    return fine;
  }
  const load = async () => {
    const [first, second] = await Promise.all([app.get('/api/doors'), app.get('/api/devices')]);
    taken(first, setDoors) && taken(second, (body) => setDevices(body.devices));
  };
  useEffect(() => {
    load();
  }, [app.doors]);
  const change = async (what) => {
    if (taken(await app.post('/api/doors', what), setDoors)) load();
  };
  const part = { app, doors, onChange: change };
  return html`<${Sheet} app=${app} title=${t('access.title')} sub=${t('access.sub')} onClose=${onClose}>
    ${trouble && html`<${Problem} app=${app} problem=${trouble} />`}
    ${
      doors && devices
        ? html`<div class="access">
            <${CodeDoor} ...${part} />
            <${DeviceList} app=${app} devices=${devices} onTaken=${setDevices} />
            <${WallDoor} ...${part} />
            <${ScriptKey} app=${app} onMade=${load} />
          </div>`
        : html`<p class="soft">${t('access.loading')}</p>`
    }<//
  >`;
}
