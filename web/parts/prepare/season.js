// What last season's shelf says: more, fewer, smaller, and why.

import { html, useEffect, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { decimal } from '../../core/format.js';
import { useOfSeason } from '../../core/prepare.js';
import { packageName } from './words.js';
import { Part } from './rows.js';

const containerOf = ({ measure, jar, holds }) =>
  jar ? { is: 'jar', jar } : { is: measure === 'bag' ? 'bag' : 'tub', holds: holds?.amount };

function whyWords(why) {
  return t(`prepare.year.${why.is}`, {
    taken: why.taken,
    n: why.taken ?? why.packages ?? 0,
    packages: why.packages,
    of: why.of,
    weeks: decimal(Math.round((why.weeks ?? 0) / 1000) * 1000),
    left: decimal(why.left ?? 0),
  });
}

function Told({ told, weeks, onUse }) {
  const container = containerOf(told.package);
  const counted = `${told.make} ${packageName(container, told.make)}`;
  return html`<li class="prepare-line">
    <h3>${told.name}</h3>
    <p>
      <strong>${t(`prepare.change.${told.change}`, { make: counted, made: told.made })}</strong>
      ${told.smaller && ` ${t('prepare.change.smaller')}`}
    </p>
    <p>${told.why.map(whyWords).join(' ')}</p>
    <button type="button" class="button" onClick=${() => onUse(useOfSeason(told, weeks))}>
      ${t('prepare.take-over', { name: told.name })}
    </button>
  </li>`;
}

/** Nothing where the shelf has seen nothing. */
export function SeasonPart({ app, onUse }) {
  const [told, setTold] = useState(null);
  useEffect(() => {
    let here = true;
    (async () => {
      const shelf = await app.get('/api/shelf/uses');
      if (shelf.status !== 200 || !Object.keys(shelf.body?.products ?? {}).length) return;
      const answer = await app.post('/api/prepare/next-year', { products: shelf.body.products });
      if (here && answer.status === 200) setTold(answer.body);
    })();
    return () => {
      here = false;
    };
  }, []);
  if (!told) return null;
  return html`<${Part} title=${t('prepare.season')} open=${false}>
    <p class="soft">${t('prepare.season-about')}</p>
    <ul class="prepare-lines">
      ${entriesOf(told.products).map(
        ([id, one]) => html`<${Told} key=${id} told=${one} weeks=${told.weeks} onUse=${onUse} />`,
      )}
    </ul>
  <//>`;
}
