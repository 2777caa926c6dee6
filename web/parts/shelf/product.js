// One product on the shelf: how much is left and where, how long it lasts, one to take out, its lots
// from the next. <${Product} product=${product} place="pantry" today="2026-11-29" ... />

import { html } from '../../ui.js';
import { given, t } from '../../words/words.js';
import { countOf, daysBetween, nextOf, oneOf, PLACES, recalledOf, spanOfDays, VERDICTS } from '../../core/package-lots.js';
import { Mark } from '../pictures.js';
import { Fold } from '../sheet.js';
import { dateWords, packageWords } from '../tags/words.js';

/** Days in words, in the unit that fits. */
export function spanWords(days) {
  const [unit, n] = spanOfDays(days);
  return t(`shelf.span.${unit}`, { n });
}

/** "8 weeks old". */
export function ageWords(date, today) {
  const days = daysBetween(date, today);
  return days < 1 ? t('shelf.today') : t('shelf.old', { span: spanWords(days) });
}

function LotLine({ lot, today }) {
  const past = lot.best_by && lot.best_by < today;
  return html`<li class="shelf-lot">
    <a class="button shelf-code" href=${`#/lot/${lot.day}/${lot.code}`}>${lot.code}</a>
    <span>
      <b>${t('shelf.lot-line', { n: countOf(lot.left), place: t(`tags.place.${lot.place}`) })}</b>
      ${' · '}${ageWords(lot.date, today)}
      ${lot.best_by && !past && ` · ${t('shelf.best-by', { date: dateWords(lot.best_by) })}`}
      <small class="soft">${given(lot.lot_name)}</small>
      ${past && html`<em class="shelf-past"><${Mark} of="warn" size="20" />${t('shelf.past', { date: dateWords(lot.best_by) })}</em>`}
      ${lot.recalled && html`<em class="shelf-past"><${Mark} of="danger" size="20" />${t('shelf.recalled')}</em>`}
      ${lot.left < 0 && html`<em class="shelf-past"><${Mark} of="warn" size="20" />${t('shelf.count-it')}</em>`}
    </span>
  </li>`;
}

function lastsWords({ left, rate, eaten }) {
  if (left <= 0) return eaten > 0 ? t('shelf.ran-out') : null;
  return rate ? t('shelf.lasts', { span: spanWords(rate.lasts_days) }) : t('shelf.no-rate');
}

/** The product; `place` shows and takes only what is there. */
export function Product({ product, place, today, shelf, onTake }) {
  const next = nextOf(product, place);
  const recalled = recalledOf(product);
  const lots = product.lots.filter((lot) => !place || lot.place === place);
  const left = countOf(place ? product.places[place] : product.left);
  const where = PLACES.filter((one) => countOf(product.places[one]) > 0);
  const judged = VERDICTS.filter((one) => product.judged[one] > 0);
  const lasts = lastsWords(product);
  return html`<li class="card shelf-product">
    <div class="shelf-head">
      <p class="shelf-left"><b>${left}</b> <span>${t('shelf.left')}</span></p>
      <div>
        <h2>${given(product.name)}</h2>
        <p class="soft">${packageWords(product.package)}</p>
      </div>
    </div>
    <p>
      ${where.map((one) => t(`shelf.at.${one}`, { n: countOf(product.places[one]) })).join(' · ')}
      ${lasts && html`<br />${lasts}`}
      ${product.waiting > 0 && html`<br />${t('shelf.waiting', { n: countOf(product.waiting) })}`}
    </p>
    ${
      recalled > 0 &&
      html`<p class="shelf-past">
        <${Mark} of="danger" size="20" />${t('shelf.some-recalled', { n: recalled })}
      </p>`
    }
    ${
      judged.length > 0 &&
      html`<p class="soft">
        ${judged
          .map((one) => t('shelf.judged', { words: t(`shelf.${one}`), n: product.judged[one] }))
          .join(' · ')}
      </p>`
    }
    ${
      next &&
      html`<div class="shelf-take">
        <button
          type="button"
          class="button button-act button-wide"
          disabled=${shelf.busy}
          aria-label=${t('shelf.take-of', { product: given(product.name), code: next.code })}
          onClick=${() => onTake(next, oneOf(next.left), product.name)}
        >
          ${t('shelf.take')}
        </button>
        <small class="soft"
          >${t('shelf.next', { code: next.code, place: t(`tags.place.${next.place}`) })}</small
        >
      </div>`
    }
    ${
      lots.length > 0 &&
      html`<${Fold} title=${t('shelf.lots')}>
        <ul class="shelf-lots">
          ${lots.map((lot) => html`<${LotLine} key=${`${lot.day}/${lot.code}/${lot.place}`} lot=${lot} today=${today} />`)}
        </ul><//
      >`
    }
  </li>`;
}
