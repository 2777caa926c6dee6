// "We need ...": what this station runs out of, as pictures; one tap asks, and can be taken back.
// <${Ask} app=${app} stationId="fill" helperId="edda" onSent=${notice} onDone=${close} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { needsAt } from '../../core/needs.js';
import { AskFor } from '../chores.js';
import { Mark } from '../pictures.js';
import { Fold } from '../sheet.js';
import { answer } from '../tap-sounds.js';
import { noticeOf } from './notice.js';
import { Tile, Tiles } from './tile.js';

const NOTICE_MS = 60000;

/** The choices, and a line to write where none fits. */
export function Ask({ app, stationId, helperId, onSent, onDone }) {
  const ask = (text) => {
    const chore = app.mint('asked');
    const command = { order: 'raise-chore', chore, text, ...(stationId && { station: stationId }) };
    answer(app, 'sent');
    app.send(command);
    const undo = { order: 'finish-chore', chore, helper: helperId };
    onSent(noticeOf(app, t('ask.sent', { what: text }), command, undo, NOTICE_MS));
    onDone();
  };
  return html`<${Tiles} label=${t('ask.title')}>
      ${needsAt(app.view, stationId).map((one) => {
        const words = one.name ?? t(`ask.${one.usual}`);
        return html`<${Tile}
          key=${one.supply ?? one.usual}
          picture=${one.picture}
          words=${words}
          onTap=${() => ask(words)}
        >
          ${
            one.low &&
            html`<small class="tile-low"><${Mark} of="warn" size="18" />${t('ask.low')}</small>`
          }
        <//>`;
      })}
    <//>
    <${Fold} title=${t('ask.other')}
      ><${AskFor} app=${app} stationId=${stationId} onDone=${onDone} plain=${true}
    /><//>`;
}
