// What came of the taps at a hand station: how many were done, which are on the way or kept here,
// and the last one taken back. <${TallyAnswer} app=${app} stationId="wash" helperId="wren"
// product="pears" own=${taps} onUndo=${drop} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { isReadOnly } from '../core/board.js';
import { carried, measured, timeOfDay } from '../core/format.js';
import { stepAt } from '../core/flow.js';
import { doneNow, tapsAt } from '../core/taps.js';
import { Counters } from './hand/counters.js';
import { Mark } from './pictures.js';
import { answer } from './tap-sounds.js';

/** A tap of one's own can be taken back for so long although somebody else tapped since. */
const FOR_A_WHILE_MS = 120000;

function lastWords(app, undo, stationId) {
  const step = stepAt(app.view, undo.product, stationId);
  const amount = step ? measured(undo.amount, step.measure) : '';
  return t('tally.counted', {
    amount,
    product: app.view.products[undo.product]?.name ?? '',
    at: timeOfDay(undo.at),
  });
}

/** How many carriers were done here today, as dots and as a number. */
function DoneCount({ app, stationId, product, coming }) {
  const name = stepAt(app.view, product, stationId)?.carrier.name ?? '';
  const done = doneNow(app.view, app.entries, stationId, product);
  if (done < 1000) return null;
  return html`<p class="done-count">
    <${Counters} n=${Math.floor(done / 1000)} coming=${coming} />
    <span>${t('tally.done-here', { carriers: carried(done, name) })}</span>
  </p>`;
}

/** The lines under the button. */
export function TallyAnswer({ app, stationId, helperId, product, own, onUndo }) {
  const { undo } = app.view.stations[stationId];
  const { added, undone, last } = tapsAt(app.view, app.entries, stationId);
  const mine = undo && !(helperId && undo.helper && undo.helper !== helperId) ? undo : null;
  const recent = own.at(-1);
  const stillMine = recent && app.monotonic() - recent < FOR_A_WHILE_MS;
  const back = {
    order: 'undo-tally',
    station: stationId,
    ...(helperId ? { helper: helperId } : mine?.helper && { helper: mine.helper }),
  };
  const takeBack = () => {
    answer(app, 'undone');
    onUndo();
    if (last) app.takeBack(last.id, back);
    else app.send(mine?.helper || !mine ? back : { order: 'undo-tally', station: stationId });
  };
  const n = added.length;
  const going = n > 0 || undone.length > 0;
  const words =
    (n > 0 && t(app.line.up && !isReadOnly(app) ? 'pending.taps' : 'pending.kept', { n })) ||
    (undone.length > 0 && t('tally.undoing')) ||
    (mine ? lastWords(app, mine, stationId) : t('tally.none-yet'));
  const can = n > 0 || (undone.length === 0 && (mine || stillMine));
  return html`<div class=${going ? 'undo undo-going' : 'undo'}>
    ${
      product &&
      html`<${DoneCount}
        app=${app}
        stationId=${stationId}
        product=${product}
        coming=${added.filter((one) => one.product === product).length}
      />`
    }
    <span class="undo-words" role="status">
      <${Mark} of=${going ? 'soon' : mine ? 'done' : 'calm'} size="18" />${words}</span
    >
    ${
      can &&
      html`<button class="button undo-button" onClick=${takeBack}>
        <${Mark} of="undo" size="26" /><span>${t('tally.undo')}</span>
      </button>`
    }
  </div>`;
}
