// What each station did with the day: a bar as long as the day, and the times as a table.
// <${StationTimes} back=${back} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { quarters, span, timeOfDay } from '../../core/format.js';
import { stationsReady, TIMES, timesOf, timesWords } from '../../core/look-back.js';
import { FiguresTable } from './figures-table.js';

/** What has a pattern of its own, to be told apart without colours. */
const PATTERNED = ['blocked', 'unstaffed', 'paused'];

function Patterns() {
  return html`<svg class="times-patterns" aria-hidden="true" width="0" height="0">
    <defs>
      ${PATTERNED.map(
        (name, index) =>
          html`<pattern
            key=${name}
            id=${`times-${name}`}
            width="8"
            height="8"
            patternUnits="userSpaceOnUse"
            patternTransform=${`rotate(${45 + index * 45})`}
          >
            <rect class=${`times-ground times-${name}`} width="8" height="8" />
            <rect class="times-line" width=${index + 2} height="8" />
          </pattern>`,
      )}
    </defs>
  </svg>`;
}

const kind = (field) => field.replace('_ms', '').replace('_', '-');
const fillOf = (field) => (PATTERNED.includes(kind(field)) ? `url(#times-${kind(field)})` : undefined);

function Bar({ station, openMs }) {
  return html`<svg
    class="times-bar"
    role="img"
    aria-label=${timesWords(station, openMs)}
    viewBox="0 0 1000 40"
    preserveAspectRatio="none"
  >
    ${timesOf(station, openMs).map(
      ({ field, from, share }) =>
        share > 0 &&
        html`<rect
          key=${field}
          class=${`times-part times-${kind(field)}`}
          fill=${fillOf(field)}
          x=${from * 1000}
          width=${share * 1000}
          height="40"
        />`,
    )}
  </svg>`;
}

function Key() {
  return html`<ul class="times-key">
    ${TIMES.map(
      ([field, word]) =>
        html`<li key=${field}>
          <svg width="22" height="16" aria-hidden="true">
            <rect
              class=${`times-part times-${kind(field)}`}
              fill=${fillOf(field)}
              width="22"
              height="16"
            />
          </svg>
          ${t(word)}
        </li>`,
    )}
  </ul>`;
}

function deepestWords(back, deepest) {
  if (!deepest) return '';
  return t('look-back.deepest-words', {
    carriers: quarters(deepest.carriers),
    product: back.products?.[deepest.product] ?? deepest.product,
    at: timeOfDay(deepest.at),
  });
}

/** Bars, their key and the table. */
export function StationTimes({ back }) {
  const ready = stationsReady(back);
  const heads = ['word.station', ...TIMES.map(([, word]) => word), 'look-back.deepest'];
  const rows = ready.map(([, one]) => [
    one.name,
    ...TIMES.map(([field]) => (one[field] > 0 ? span(one[field]) : '–')),
    deepestWords(back, one.deepest),
  ]);
  return html`<${Patterns} /><${Key} />
    <ul class="times">
      ${ready.map(
        ([id, one]) =>
          html`<li key=${id}>
            <span>${one.name}</span><${Bar} station=${one} openMs=${back.open_ms} />
          </li>`,
      )}
    </ul>
    <${FiguresTable}
      label=${t('look-back.stations')}
      heads=${heads.map((key) => t(key))}
      rows=${rows}
    />`;
}
