// How long food has stood, in words with a mark: the shape says the same as the colour.
// <${Standing} app=${app} one=${waitingEntry} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { span } from '../core/format.js';
import { standing } from '../core/stands.js';
import { Mark } from './pictures.js';

const MARK = { late: 'danger', due: 'due', soon: 'warn', fresh: 'calm' };

/** One line; nothing where the view says nothing of standing. */
export function Standing({ app, one }) {
  const stood = standing(one, app.now);
  if (!stood) return null;
  const words = t(`stands.${stood.why}.${stood.level}`, { span: span(stood.passed) });
  return html`<span class=${`standing standing-${stood.level}`}
    ><${Mark} of=${MARK[stood.level]} size="18" /><span>${words}</span></span
  >`;
}
