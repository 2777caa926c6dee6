// Labels for what was put by on a day: which packages, on which sheet, printed by the browser or
// saved as a PDF. Only what may be kept gets one; the others are named with the reason.

import { html, useEffect, useRef, useState } from '../ui.js';
import { given, t } from '../words/words.js';
import { decimal } from '../core/format.js';
import { keptSheet, laidOut, labelsOnSheet, PAPERS, sheetFault, smallestLabel } from '../core/label-sheet.js';
import { labelsOf } from '../core/package-lots.js';
import { Footer } from '../parts/frame.js';
import { Mark } from '../parts/pictures.js';
import { Awaited } from '../parts/awaited.js';
import { Stepper } from '../parts/stepper.js';
import { Label } from '../parts/tags/label.js';
import { SheetForm, Sketch } from '../parts/tags/sheet-form.js';
import { dateWords, packageWords } from '../parts/tags/words.js';

const KEPT = 'label-sheet';
const LABELS_MOST = 900;

/** Tells the printer the size of the paper while this screen is shown. */
function usePaper(paper) {
  useEffect(() => {
    const ours = [...document.styleSheets].find((one) => one.href?.endsWith('/season.css'));
    if (!ours) return undefined;
    const [width, height] = PAPERS[paper];
    const at = ours.cssRules.length;
    ours.insertRule(`@page { size: ${width}mm ${height}mm; margin: 0 }`, at);
    return () => ours.deleteRule(at);
  }, [paper]);
}

function faultWords(sheet, { fault, measure, over }) {
  const [width, height] = smallestLabel();
  return t(`tags.fault.${fault}`, {
    measure: measure && t(`tags.mm.${measure}`),
    over: over && decimal(Math.ceil(over * 10) * 100),
    width,
    height,
  });
}

const keyOf = (one) => `${one.code}/${one.place}`;

function Choice({ one, chosen, onChoose }) {
  const key = keyOf(one);
  const label = t('tags.each', {
    code: one.code,
    product: given(one.lot.product_name),
    place: t(`tags.place.${one.place}`),
  });
  return html`<li>
    <${Stepper}
      label=${label}
      sub=${packageWords(one.lot.package)}
      value=${chosen[key] ?? one.count}
      most=${LABELS_MOST}
      onValue=${(n) => onChoose({ ...chosen, [key]: n })}
    />
  </li>`;
}

function Without({ day, none }) {
  if (!none.length) return null;
  return html`<section class="tag-without">
    <h2>${t('tags.without')}</h2>
    <ul>
      ${none.map(
        ({ code, lot, why, count }) =>
          html`<li key=${`${code}/${why}`}>
            <${Mark} of=${why === 'recalled' ? 'danger' : 'note'} />
            <span
              ><a href=${`#/lot/${day}/${code}`}>${code}</a> ${given(lot.product_name)}:
              ${' '}${t(`tags.why.${why}`, { n: count })}</span
            >
          </li>`,
      )}
    </ul>
    ${
      none.some(({ why }) => why === 'waiting') &&
      html`<a class="button" href=${`#/day/${day}/seals`}>${t('tags.seals')}</a>`
    }
  </section>`;
}

function Sheets({ told, sheet, pages }) {
  const [width, height] = PAPERS[sheet.paper];
  // A hair less than the paper, or rounding would add an empty page.
  const size = { width: `${width}mm`, height: `${height - 0.2}mm` };
  return html`<div class="tag-sheets" aria-hidden="true">
    ${pages.map(
      (page, n) =>
        html`<div class="tag-sheet" key=${n} style=${size}>
          ${page.map(
            ({ label, left, top }, at) =>
              html`<${Label}
                key=${at}
                day=${told.day}
                date=${told.date}
                one=${label}
                sheet=${sheet}
                at=${{ left, top }}
              />`,
          )}
        </div>`,
    )}
  </div>`;
}

function Content({ app, told }) {
  const [sheet, setSheet] = useState(() => keptSheet(app.choice(KEPT)));
  const [used, setUsed] = useState(0);
  const [chosen, setChosen] = useState({});
  const paper = useRef(null);
  const fault = sheetFault(sheet);
  const { labels, none } = labelsOf(told.lots);
  usePaper(sheet.paper);
  const change = (one) => {
    setSheet(one);
    if (!sheetFault(one)) app.choose(KEPT, JSON.stringify(one));
  };
  const list = labels.flatMap((one) => Array(chosen[keyOf(one)] ?? one.count).fill(one));
  const gone = Math.max(0, Math.min(used, labelsOnSheet(sheet) - 1)) || 0;
  const pages = fault ? [] : laidOut(sheet, list.slice(0, LABELS_MOST), gone);
  async function print() {
    const pictures = [...(paper.current?.querySelectorAll('img') ?? [])];
    await Promise.allSettled(pictures.map((picture) => picture.decode()));
    globalThis.print();
  }
  if (!labels.length)
    return html`<main class="main"><p>${t('tags.none')}</p>
      <${Without} day=${told.day} none=${none} /></main>`;
  return html`<main class="main tag-columns no-print">
      <section class="card">
        <h2>${t('tags.which')}</h2>
        <ul class="tag-choices">
          ${labels.map(
            (one) =>
              html`<${Choice} key=${keyOf(one)} one=${one} chosen=${chosen} onChoose=${setChosen} />`,
          )}
        </ul>
        <${Without} day=${told.day} none=${none} />
      </section>
      <section class="card">
        <h2>${t('tags.sheet')}</h2>
        <p class="soft">${t('tags.sheet-about')}</p>
        <${SheetForm} sheet=${sheet} onSheet=${change} used=${used} onUsed=${setUsed} />
        ${
          fault
            ? html`<p class="caution" role="status">
                <${Mark} of="warn" /><span>${faultWords(sheet, fault)}</span>
              </p>`
            : html`<${Sketch} sheet=${sheet} used=${gone} />`
        }
      </section>
      <section class="tag-go">
        <p role="status">${t('tags.count', { n: list.length, sheets: pages.length })}</p>
        <button
          class="button button-act button-wide"
          disabled=${Boolean(fault) || !list.length}
          onClick=${print}
        >
          ${t('tags.print')}
        </button>
        <p class="soft">${t('tags.address')}</p>
        ${
          !fault &&
          list.length > 0 &&
          html`<figure class="tag-sample">
            <figcaption class="soft">${t('tags.sample')}</figcaption>
            <div class="tag-room">
              <${Label} day=${told.day} date=${told.date} one=${list[0]} sheet=${{ ...sheet, cut: true }} />
            </div>
          </figure>`
        }
      </section>
    </main>
    <div ref=${paper}><${Sheets} told=${told} sheet=${sheet} pages=${pages} /></div>`;
}

/** The screen at `#/day/ID/labels`. */
export function LabelsScreen({ app }) {
  const [answer, setAnswer] = useState(null);
  useEffect(() => {
    app.get(`/api/days/${app.day}/lots`).then(setAnswer);
  }, [app.day]);
  const told = answer?.status === 200 ? answer.body : null;
  return html`<div class="frame labels-screen">
    <header class="top no-print">
      <div class="top-words">
        <h1>${t('tags.title')}</h1>
        ${told && html`<p class="top-sub">${t('tags.of', { day: given(told.name), date: dateWords(told.date) })}</p>`}
      </div>
      <nav class="top-tools" aria-label=${t('nav.label')}>
        <a class="button button-quiet" href="#/shelf">${t('nav.shelf')}</a>
        <a class="button button-quiet" href="#/">${t('nav.days')}</a>
      </nav>
    </header>
    ${
      told
        ? html`<${Content} app=${app} told=${told} />`
        : html`<main class="main">
            <${Awaited} app=${app} answer=${answer} />
          </main>`
    }
    <div class="no-print"><${Footer} app=${app} /></div>
  </div>`;
}
