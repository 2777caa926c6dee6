// The code to scan for joining a day, with the addresses and the code to type; nothing where this
// screen may not show them. <${JoinCode} day=${app.day} fresh=${app.doors} />

import { html, useEffect, useState } from '../ui.js';
import { t } from '../words/words.js';
import { get } from '../net/link.js';

/** The Wi-Fi may give this computer another number in the middle of the day. */
const ASK_EVERY_MS = 60000;
const plainly = (address) => address.replace(/\/$/, '');

/** The picture and the addresses: the first by number, and the plain name. Asks anew with `fresh`. */
export function JoinCode({ day, fresh }) {
  const [ways, setWays] = useState({ addresses: [], plain: [], drawn: 0 });
  useEffect(() => {
    const ask = async () => {
      const answer = await get('/api/join');
      if (answer.status === 200)
        setWays(({ code, drawn }) => {
          const { body } = answer;
          return { plain: [], ...body, drawn: drawn + (code === body.code ? 0 : 1) };
        });
    };
    ask();
    const asking = setInterval(ask, ASK_EVERY_MS);
    return () => clearInterval(asking);
  }, [fresh]);
  const { addresses, plain, code, shown, drawn } = ways;
  // Drawn once its address is known, and anew when that changes.
  const at = addresses[0];
  if (!at || !shown) return null;
  return html`<figure class="join-code">
    <img
      src=${`/api/join.svg?day=${day}&at=${encodeURIComponent(at)}&drawn=${drawn}`}
      alt=${t('join.code-alt')}
      width="220"
      height="220"
    />
    <figcaption>
      <strong>${t('join.scan')}</strong>
      ${[...addresses.slice(0, 1), ...plain.slice(0, 1)].map(
        (one) => html`<span class="address" key=${one}>${plainly(one)}</span>`,
      )}
      ${code && html`<span class="address code" aria-label=${t('join.code')}>${code}</span>`}
    </figcaption>
  </figure>`;
}
