// A sheet over the screen for corrections and choices; Escape, the close button and the back of
// the page all close it. Refusals and alarms are shown in it, because it covers the screen's own.
// <${Sheet} app=${app} title="Wash" onClose=${close}>content<//>

import { html, useEffect, useRef } from '../ui.js';
import { t } from '../words/words.js';
import { Alarms } from './alarms.js';
import { HurtButton, HurtCalls } from './hurt.js';
import { Refusals } from './problem.js';

/** A modal sheet; the browser keeps the focus inside. `calm` leaves out alarms. */
export function Sheet({ app, title, sub, onClose, calm, children }) {
  const dialog = useRef(null);
  useEffect(() => {
    const element = dialog.current;
    if (element && !element.open) element.showModal?.();
    return () => {
      element?.close?.();
      // What it was opened from may be gone.
      const { activeElement: now } = document;
      if (now === document.body || element?.contains(now)) document.querySelector('h1')?.focus();
    };
  }, []);
  const outside = (event) => {
    if (event.target === dialog.current) onClose();
  };
  return html`<dialog
    class="sheet"
    ref=${dialog}
    onClick=${outside}
    aria-label=${title}
    onCancel=${(event) => {
      event.preventDefault();
      onClose();
    }}
  >
    <div class="sheet-inside">
      <div class="sheet-stick">
        <header class="sheet-top">
          <div>
            <h2>${title}</h2>
            ${sub && html`<p class="soft">${sub}</p>`}
          </div>
          ${!calm && html`<${HurtButton} app=${app} />`}
          <button class="button" onClick=${onClose}>${t('sheet.close')}</button>
        </header>
        ${!calm && html`<${HurtCalls} app=${app} quiet=${true} />`}
        ${!calm && html`<${Alarms} app=${app} quiet=${true} />`}<${Refusals} app=${app} />
      </div>
      ${children}
    </div>
  </dialog>`;
}

/** Something folded away until asked for. */
export function Fold({ title, open, children }) {
  return html`<details class="fold" open=${open}>
    <summary>${title}</summary>
    <div class="fold-inside">${children}</div>
  </details>`;
}
