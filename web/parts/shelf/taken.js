// After a package was taken: taking it back, and how it was. <${Taken} shelf=${shelf} taken=${one}
// onTaken=${set} /> with `{command, lot, name, judged?}`.

import { html } from '../../ui.js';
import { given, t } from '../../words/words.js';
import { VERDICTS } from '../../core/package-lots.js';
import { Mark } from '../pictures.js';

/** The buttons of the four judgements. */
export function Judge({ shelf, lot, onJudged }) {
  const judge = async (verdict) => {
    const receipt = await shelf.send({ order: 'judge', lot, verdict });
    if (receipt) onJudged(verdict, receipt.id);
  };
  return html`<div class="row" role="group" aria-label=${t('shelf.how-was-it')}>
    ${VERDICTS.map(
      (verdict) =>
        html`<button
          type="button"
          key=${verdict}
          class="button"
          disabled=${shelf.busy}
          onClick=${() => judge(verdict)}
        >
          ${t(`shelf.${verdict}`)}
        </button>`,
    )}
  </div>`;
}

/** What was just taken. */
export function Taken({ shelf, taken, onTaken }) {
  if (!taken) return null;
  const back = async () => {
    const command = taken.judgedBy ?? taken.command;
    if (!(await shelf.send({ order: 'undo', command }))) return;
    onTaken(taken.judgedBy ? { ...taken, judged: null, judgedBy: null } : null);
  };
  return html`<section class="card shelf-taken" role="status">
    <p>
      <${Mark} of="done" />
      <strong>${t('shelf.taken', { product: given(taken.name), code: taken.lot.code })}</strong>
    </p>
    ${
      taken.judged
        ? html`<p>${t('shelf.thanks', { words: t(`shelf.${taken.judged}`) })}</p>`
        : html`<p>${t('shelf.how-was-it')}</p>
            <${Judge}
              shelf=${shelf}
              lot=${taken.lot}
              onJudged=${(judged, judgedBy) => onTaken({ ...taken, judged, judgedBy })}
            />`
    }
    <button type="button" class="button button-quiet" disabled=${shelf.busy} onClick=${back}>
      ${t('shelf.undo')}
    </button>
  </section>`;
}
