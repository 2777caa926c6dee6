// Fruit that is too soft leaves its way with one tap on where it goes; held back on this device
// for a few seconds, so that it can be taken back as if it had never been.
// <${TooSoft} app=${app} stationId="wash" onSent=${notice} onDone=${close} />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { carried, measured } from '../../core/format.js';
import { waitingAt } from '../../core/flow.js';
import { softAmounts, softOrder, softWays } from '../../core/soft.js';
import { Divert } from '../divert.js';
import { Pile } from '../pile.js';
import { WorkPicture } from '../pictures.js';
import { Fold } from '../sheet.js';
import { answer } from '../tap-sounds.js';
import { noticeOf } from './notice.js';
import { Produce } from './produce.js';
import { Tile, Tiles } from './tile.js';

/** How long it is kept here before it is sent. */
const HOLD_MS = 8000;

function wayWords(view, way) {
  if (way.as !== 'route') return t(`divert.${way.as}`);
  return t('divert.to-product', { product: view.products[way.product].name });
}

function Amounts({ one, amount, onPick }) {
  const name = one.carrier?.name ?? '';
  const holds = one.carrier?.holds ?? 1000;
  return html`<div class="choices" role="group" aria-label=${t('soft.how-much')}>
    ${softAmounts(one).map((some) => {
      const carriers = Math.floor((some * 1000) / holds);
      return html`<button
        type="button"
        key=${some}
        class="button choice"
        aria-pressed=${some === amount}
        onClick=${() => onPick(some)}
      >
        <${Pile} carriers=${carriers} name=${name} measure=${one.measure} scale=${0.8} />
        <span>${carried(carriers, name)}</span>
      </button>`;
    })}
  </div>`;
}

function Which({ app, list, chosen, onPick }) {
  if (list.length < 2) return null;
  return html`<div class="choices" role="group" aria-label=${t('tally.which')}>
    ${list.map(
      (one) =>
        html`<button
          type="button"
          key=${one.product}
          class="button choice"
          aria-pressed=${one.product === chosen}
          onClick=${() => onPick(one.product)}
        >
          <${Produce} of=${app.view.products[one.product]?.produce} size="30" />
          <span>${app.view.products[one.product]?.name}</span>
        </button>`,
    )}
  </div>`;
}

/** Which, how much, and where to; the tap on where to sends. */
export function TooSoft({ app, stationId, onSent, onDone }) {
  const { view } = app;
  const list = waitingAt(view.stations[stationId]);
  const [picked, setPicked] = useState(list[0]?.product);
  const [wanted, setWanted] = useState(null);
  const one = list.find(({ product }) => product === picked) ?? list[0];
  if (!one) return html`<p>${t('waiting.none')}</p>`;
  const amounts = softAmounts(one);
  const amount = amounts.includes(wanted) ? wanted : amounts.at(-1);
  const go = (way) => {
    const command = softOrder(stationId, one.product, amount, way);
    answer(app, 'sent');
    app.send(command, { hold: HOLD_MS });
    const words = t('soft.sent', { amount: measured(amount, one.measure), to: wayWords(view, way) });
    onSent(noticeOf(app, words, command, null, HOLD_MS));
    onDone();
  };
  return html`<${Which} app=${app} list=${list} chosen=${one.product} onPick=${setPicked} />
    ${amounts.length > 1 && html`<${Amounts} one=${one} amount=${amount} onPick=${setWanted} />`}
    ${
      amounts.length > 0 &&
      html`<${Tiles} label=${t('divert.where')}>
        ${softWays(view, one.product, stationId).map(
          (way) =>
            html`<${Tile}
              key=${way.product ?? way.as}
              picture=${way.as}
              art=${
                way.as === 'route' &&
                html`<${WorkPicture} work=${view.stations[way.station]?.work} size="40" />`
              }
              words=${wayWords(view, way)}
              onTap=${() => go(way)}
            />`,
        )}
      <//>`
    }
    <${Fold} title=${t('soft.exactly')}
      ><${Divert}
        key=${one.product}
        app=${app}
        stationId=${stationId}
        product=${one.product}
        onDone=${onDone}
    /><//>`;
}
