// How the disk of the board takes writes, while that is worth saying: it does not, or does again.
// <${DiskNote} app=${app} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { isReadOnly } from '../core/board.js';
import { Mark } from './pictures.js';

/** That it takes them again is said for so long. */
const AGAIN_SAID_MS = 10_000;

/** One line; nothing once all has been well for a while. */
export function DiskNote({ app }) {
  const { writes, since } = app.disk;
  if (isReadOnly(app))
    return html`<p class="caution caution-danger" role="alert">
      <${Mark} of="danger" /><span>${t(writes === 'full' ? 'disk.full' : 'disk.fails')}</span>
    </p>`;
  if (app.monotonic() - since > AGAIN_SAID_MS) return null;
  return html`<p class="note-line" role="status"><${Mark} of="done" />${t('disk.works')}</p>`;
}
