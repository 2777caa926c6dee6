// The code to scan for joining, with the address to type. <${JoinCode} />

import { html, useEffect, useState } from '../ui.js';
import { t } from '../words/words.js';
import { get } from '../net/link.js';

/** The picture and the addresses. */
export function JoinCode() {
  const [addresses, setAddresses] = useState([]);
  useEffect(() => {
    get('/api/join').then((answer) => setAddresses(answer.body?.addresses ?? []));
  }, []);
  return html`<figure class="join-code">
    <img src="/api/join.svg" alt=${t('join.code-alt')} width="220" height="220" />
    <figcaption>
      <strong>${t('join.scan')}</strong>
      ${addresses.slice(0, 2).map((one) =>
        html`<span class="address" key=${one}>${one.replace(/\/$/, '')}</span>`)}
    </figcaption>
  </figure>`;
}
