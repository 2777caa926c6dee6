// Who of several? A button that unfolds into one button for each person, so that an arrow key or a
// slip of the finger names nobody. <${Who} view=${view} ask=${'Who?'} people=${ids} onPick=${f} />

import { html, useEffect, useRef, useState } from '../ui.js';
import { Sign } from './signs.js';

/** `label` is what a screen reader hears where `ask` is too short to stand alone. */
export function Who({ view, ask, label = ask, people, onPick }) {
  const [open, setOpen] = useState(false);
  const first = useRef(null);
  useEffect(() => {
    if (open) first.current?.focus();
  }, [open]);
  if (!open)
    return html`<button
      class="button who-ask"
      aria-label=${label}
      aria-expanded="false"
      onClick=${() => setOpen(true)}
    >
      ${ask}
    </button>`;
  return html`<div class="who" role="group" aria-label=${label}>
    ${people.map(
      (id, n) =>
        html`<button
          class="button"
          key=${id}
          ref=${n === 0 ? first : null}
          onClick=${() => onPick(id)}
        >
          <${Sign} name=${view.helpers[id].sign} of=${view.helpers[id].name} size="26" />
          ${view.helpers[id].name}
        </button>`,
    )}
  </div>`;
}
