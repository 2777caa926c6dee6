// What one tap has just sent, with the way back for a while.
// <${Notice} app=${app} notice=${{ words, entry, order, until }} onClose=${clear} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { Mark } from '../pictures.js';
import { answer } from '../tap-sounds.js';

/** A notice made by a tap: `words`, `command`, the `order` that undoes it, and until when. */
export const noticeOf = (app, words, command, order, forMs) => ({
  words,
  command,
  order,
  until: app.monotonic() + forMs,
});

/** The line; nothing once its time is over. */
export function Notice({ app, notice, onClose }) {
  if (!notice || app.monotonic() > notice.until) return null;
  const same = JSON.stringify(notice.command);
  const entry = app.entries.find((one) => JSON.stringify(one.command) === same);
  // What was held back and has gone can no longer be called back from here.
  if (!entry && !notice.order) return null;
  const back = () => {
    answer(app, 'undone');
    if (entry) app.takeBack(entry.id, notice.order);
    else app.send(notice.order);
    onClose();
  };
  return html`<div class="undo notice">
    <span class="undo-words" role="status"><${Mark} of="done" size="22" />${notice.words}</span>
    <button class="button undo-button" onClick=${back}>
      <${Mark} of="undo" size="26" /><span>${t('tally.undo')}</span>
    </button>
  </div>`;
}
