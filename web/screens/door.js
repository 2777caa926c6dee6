// Before a device is let in: one field for the code. Whoever scans the code on the wall never sees
// this. A device that the lead has put out is told so here.

import { html, useState } from '../ui.js';
import { known, t } from '../words/words.js';
import { DeviceChoice } from '../parts/device-choice.js';
import { TextField } from '../parts/fields.js';
import { Footer } from '../parts/frame.js';
import { Mark } from '../parts/pictures.js';

/** What the server said, in the words of this device. */
function said({ code, status, words }) {
  const key = status === 0 ? 'door.away' : `door.${code}`;
  return t(known(key) ? key : 'door.refused', { ...words });
}

function CodeForm({ app }) {
  const [code, setCode] = useState('');
  const [sending, setSending] = useState(false);
  async function submit(event) {
    event.preventDefault();
    setSending(true);
    await app.bring({ code });
    setSending(false);
  }
  return html`<form class="door-form card" onSubmit=${submit}>
    <${TextField}
      label=${t('door.code')}
      hint=${t('door.hint')}
      value=${code}
      onValue=${setCode}
      maxlength="24"
      autocapitalize="characters"
      spellcheck="false"
      enterkeyhint="go"
    />
    ${
      app.doorTrouble &&
      !sending &&
      html`<p class="problem" role="alert">
        <${Mark} of="warn" /><span>${said(app.doorTrouble)}</span>
      </p>`
    }
    <button class="button button-act button-wide" disabled=${sending}>
      ${sending ? t('pending.sending') : t('door.come-in')}
    </button>
  </form>`;
}

/** The screen of a guest, whatever the address asks for. */
export function DoorScreen({ app }) {
  return html`<div class="frame narrow door">
    <header class="top">
      <div class="top-words">
        <h1 tabindex="-1">${t('name')}</h1>
        <p class="top-sub">${t('door.sub')}</p>
      </div>
    </header>
    <main class="main">
      ${
        app.choice('was-in') &&
        html`<p class="note-line" role="status">
          <${Mark} of="warn" size="20" /><span>${t('door.put-out')}</span>
        </p>`
      }
      <${CodeForm} app=${app} />
      <p class="soft">${t('door.scan')}</p>
      <${DeviceChoice} app=${app} />
    </main>
    <${Footer} app=${app} plain=${true} />
  </div>`;
}
