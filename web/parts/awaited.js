// What stands where the server's answer will be shown: that it is awaited, or why there is none.
// <${Awaited} app=${app} answer=${answer} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { Problem } from './problem.js';

/** `words` say what is awaited; `problem` is told in the place of the answer's own. */
export function Awaited({ app, answer, words = 'days.loading', problem }) {
  if (answer === null) return html`<p class="soft">${t(words)}</p>`;
  const told = problem ?? answer.body ?? { detail: t('days.unreachable') };
  return html`<${Problem} app=${app} problem=${told} />`;
}
