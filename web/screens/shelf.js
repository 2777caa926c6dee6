// The shelf: what is left of what was put by, where it is, the oldest first; taken out with one tap.

import { html, useEffect, useState } from '../ui.js';
import { given, t } from '../words/words.js';
import { civilDate } from '../core/format.js';
import { didWords, PLACES, shownProducts } from '../core/package-lots.js';
import { PageFrame } from '../parts/page-frame.js';
import { TextField } from '../parts/fields.js';
import { Awaited } from '../parts/awaited.js';
import { LOOK_EVERY_S, ShelfFault, useShelf } from '../parts/shelf/orders.js';
import { Product } from '../parts/shelf/product.js';
import { Recalls } from '../parts/shelf/recalls.js';
import { Taken } from '../parts/shelf/taken.js';

/** Asks again now and then and when the page is looked at: nothing is pushed here. */
export function useLook(look, on) {
  useEffect(() => {
    look();
    const again = () => !document.hidden && look();
    const every = setInterval(again, LOOK_EVERY_S * 1000);
    document.addEventListener('visibilitychange', again);
    addEventListener('focus', again);
    return () => {
      clearInterval(every);
      document.removeEventListener('visibilitychange', again);
      removeEventListener('focus', again);
    };
  }, on);
}

function Places({ place, onPlace }) {
  return html`<div class="choices" role="group" aria-label=${t('shelf.places')}>
    ${[null, ...PLACES].map(
      (one) =>
        html`<button
          type="button"
          key=${one ?? 'all'}
          class="button choice"
          aria-pressed=${one === place ? 'true' : 'false'}
          onClick=${() => onPlace(one)}
        >
          ${one ? t(`shelf.in.${one}`) : t('shelf.all')}
        </button>`,
    )}
  </div>`;
}

function Recent({ shelf, recent }) {
  if (!recent.length) return null;
  return html`<section class="shelf-recent">
    <h2>${t('shelf.recent')}</h2>
    <ul>
      ${recent.map(({ command, event, name }) => {
        const { key, ...did } = didWords(event);
        const words = t(key, {
          ...did,
          name: given(name ?? ''),
          words: event.verdict && t(`shelf.${event.verdict}`),
          place: event.to && t(`tags.place.${event.to}`),
        });
        return html`<li key=${command}>
          <span>${words}</span>
          <button
            type="button"
            class="button button-quiet"
            disabled=${shelf.busy}
            aria-label=${`${t('shelf.undo')}: ${words}`}
            onClick=${() => shelf.send({ order: 'undo', command })}
          >
            ${t('shelf.undo')}
          </button>
        </li>`;
      })}
    </ul>
  </section>`;
}

function Content({ app, told, shelf, taken, onTaken }) {
  const [place, setPlace] = useState(null);
  const [find, setFind] = useState('');
  const today = civilDate(told.now);
  const list = shownProducts(told.products, { place, find });
  const take = async ({ day, code, place: from }, packages, name) => {
    const lot = { day, code };
    const receipt = await shelf.send({ order: 'take', lot, place: from, packages });
    if (receipt) onTaken({ command: receipt.id, lot, name });
  };
  const empty = !shownProducts(told.products, {}).length;
  return html`<${Recalls} app=${app} shelf=${shelf} recalls=${told.recalls} />
    ${
      told.unreadable.length > 0 &&
      html`<p class="caution caution-danger">
        ${t('shelf.unreadable', { days: told.unreadable.join(', ') })}
      </p>`
    }
    <${Taken} shelf=${shelf} taken=${taken} onTaken=${onTaken} />
    ${
      empty
        ? html`<p>${t('shelf.empty')}</p>`
        : html`<div class="shelf-find">
              <${Places} place=${place} onPlace=${setPlace} />
              <${TextField} label=${t('shelf.find')} value=${find} onValue=${setFind} />
            </div>
            ${!list.length && html`<p role="status">${t('shelf.nothing-found')}</p>`}
            <ul class="shelf-products">
              ${list.map(
                (product) =>
                  html`<${Product}
                    key=${JSON.stringify([product.product, product.package])}
                    product=${product}
                    place=${place}
                    today=${today}
                    shelf=${shelf}
                    onTake=${take}
                  />`,
              )}
            </ul>`
    }
    <${Recent} shelf=${shelf} recent=${told.recent} />
    <p class="row">
      <a class="button" href="/api/shelf.csv" download>${t('shelf.csv')}</a>
      <span class="soft">${t('shelf.poll', { n: LOOK_EVERY_S })}</span>
    </p>`;
}

/** The screen at `#/shelf`. */
export function ShelfScreen({ app }) {
  const [answer, setAnswer] = useState(null);
  const [taken, setTaken] = useState(null);
  const look = async () => {
    const found = await app.get('/api/shelf');
    // What was shown last stays while the board is away.
    setAnswer((before) => (found.status === 0 && before?.status === 200 ? before : found));
  };
  useLook(look, []);
  const shelf = useShelf(app, look);
  const told = answer?.status === 200 ? answer.body : null;
  return html`<${PageFrame}
    app=${app}
    kind="shelf-screen"
    title=${t('shelf.title')}
    sub=${t('shelf.sub')}
  >
    <${ShelfFault} app=${app} shelf=${shelf} />
    ${
      told
        ? html`<${Content}
            app=${app}
            told=${told}
            shelf=${shelf}
            taken=${taken}
            onTaken=${setTaken}
          />`
        : html`<${Awaited} app=${app} answer=${answer} words="shelf.loading" />`
    }<//
  >`;
}
