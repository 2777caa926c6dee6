// What came of the taps at a hand station: on the way, kept here, or counted; the last one can be
// taken back. <${TallyAnswer} app=${app} stationId="wash" helperId="wren" onTheWay=${0} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { measured, timeOfDay } from '../core/format.js';
import { stepAt } from '../core/flow.js';
import { Mark } from './pictures.js';

function lastWords(app, undo, stationId) {
  const step = stepAt(app.view, undo.product, stationId);
  const amount = step ? measured(undo.amount, step.measure) : '';
  return t('tally.counted', {
    amount,
    product: app.view.products[undo.product]?.name ?? '',
    at: timeOfDay(undo.at),
  });
}

/** The line under the button. */
export function TallyAnswer({ app, stationId, helperId, onTheWay }) {
  const { undo } = app.view.stations[stationId];
  const going = app.pending(
    ({ command }) => command.order === 'undo-tally' && command.station === stationId,
  );
  const mine = undo && !(helperId && undo.helper && undo.helper !== helperId) ? undo : null;
  const order = {
    order: 'undo-tally',
    station: stationId,
    ...(mine?.helper && { helper: mine.helper }),
  };
  const sending = onTheWay > 0 && t(app.line.up ? 'pending.taps' : 'pending.kept', { n: onTheWay });
  const words = sending || (mine ? lastWords(app, mine, stationId) : t('tally.none-yet'));
  return html`<div class=${sending ? 'undo undo-going' : 'undo'}>
    <span role="status">
      <${Mark} of=${sending ? 'soon' : mine ? 'done' : 'calm'} size="18" />${words}</span
    >
    ${
      mine &&
      html`<button class="button" disabled=${going} onClick=${() => app.send(order)}>
        <${Mark} of="undo" size="18" />${going ? t('pending.sending') : t('tally.undo')}
      </button>`
    }
  </div>`;
}
