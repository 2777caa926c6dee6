// A sheet over the screen for corrections and choices; Escape, the close button and the back of
// the page all close it. <${Sheet} title="Wash" onClose=${close}>content<//>

import { html, useEffect, useRef } from '../ui.js';
import { t } from '../words/words.js';

/** A modal sheet; the browser keeps the focus inside. */
export function Sheet({ title, sub, onClose, children }) {
  const dialog = useRef(null);
  useEffect(() => {
    const element = dialog.current;
    if (element && !element.open) element.showModal?.();
    return () => element?.close?.();
  }, []);
  const outside = (event) => { if (event.target === dialog.current) onClose(); };
  return html`<dialog class="sheet" ref=${dialog} onClick=${outside} aria-label=${title}
    onCancel=${(event) => { event.preventDefault(); onClose(); }}>
    <div class="sheet-inside">
      <header class="sheet-top"><div><h2>${title}</h2>${sub && html`<p class="soft">${sub}</p>`}</div>
        <button class="button" onClick=${onClose}>${t('sheet.close')}</button></header>
      ${children}
    </div>
  </dialog>`;
}

/** Something folded away until asked for. */
export function Fold({ title, open, children }) {
  return html`<details class="fold" open=${open}><summary>${title}</summary>
    <div class="fold-inside">${children}</div></details>`;
}
