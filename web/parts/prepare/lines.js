// What to make, line by line: the number to change, and one sentence that says why.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { listed } from '../../core/format.js';
import { linesOf, notOffered, servesKey } from '../../core/prepare.js';
import { Mark } from '../pictures.js';
import { Stepper } from '../stepper.js';
import { cupsWords, foodName, packageName, portionWords, poundsRange } from './words.js';

/** Why so many, in one sentence with its numbers. */
function sentence(line, use) {
  const params = {
    serves: line.serves,
    n: line.serves,
    portion: portionWords(use),
    opened: line.opened,
    each: line.serves_each,
  };
  const parts = [t(servesKey(line), params)];
  if (line.left_over > 0 && line.serves > 0)
    parts.push(t('prepare.left-over', { amount: cupsWords(line.left_over) }));
  if (line.surplus > 0) parts.push(t('prepare.surplus', { n: line.surplus }));
  parts.push(
    t('prepare.takes-produce', { pounds: poundsRange(line.pounds), produce: foodName(use.produce) }),
  );
  return `${parts.join('; ')}.`;
}

function Process({ process }) {
  if (!process) return html`<small class="soft">${t('prepare.freezer-kept')}</small>`;
  return html`<details class="fold">
    <summary>${t('prepare.process', { minutes: process.minutes, n: process.minutes })}</summary>
    <p class="fold-inside soft">${t('prepare.process-source', { source: process.source })}</p>
  </details>`;
}

function Line({ line, use, ask, onPut }) {
  const { container } = ask.packages[line.package] ?? {};
  const path = ['uses', line.use, 'pinned', line.package];
  return html`<li class=${line.packages > 0 ? 'prepare-line' : 'prepare-line prepare-none'}>
    <${Stepper}
      label=${packageName(container, line.packages)}
      sub=${line.pinned ? t('prepare.settled') : undefined}
      value=${line.packages}
      most=${2000}
      onValue=${(n) => onPut(path, n * 1000)}
    />
    ${line.packages > 0 && html`<p>${sentence(line, use)}</p>`}
    <div class="row">
      ${line.packages > 0 && html`<${Process} process=${line.process} />`}
      ${
        line.pinned &&
        html`<button type="button" class="button button-quiet" onClick=${() => onPut(path, undefined)}>
          ${t('prepare.work-out', { package: packageName(container) })}
        </button>`
      }
    </div>
  </li>`;
}

function limitWords(limit, ask) {
  return t(`prepare.held.${limit.is}`, {
    produce: foodName(limit.produce),
    package: packageName(ask.packages[limit.package]?.container),
  });
}

function Missing({ told, ask }) {
  if (!told || told.missing <= 0) return null;
  const why = told.spoils
    ? t('prepare.held.spoils')
    : told.held_by.length
      ? listed(told.held_by.map((limit) => limitWords(limit, ask)))
      : t('prepare.held.not-offered');
  return html`<p class="prepare-short">
    <${Mark} of="warn" /><span
      >${t('prepare.missing', { missing: told.missing, times: told.times, n: told.missing, why })}</span
    >
  </p>`;
}

/** Reasons in this language; the exact ones of the tables stand behind. */
function NotOffered({ one, ask }) {
  const packages = listed(one.packages.map((id) => packageName(ask.packages[id]?.container)));
  return html`<li>
    ${one.packages.length > 0 && html`<strong>${packages}: </strong>`}${t(`prepare.not.${one.code}`)}
    <details class="fold">
      <summary>${t('problem.exact')}</summary>
      <p class="fold-inside soft" lang="en">${one.detail} ${one.instead}</p>
    </details>
  </li>`;
}

function UseLines({ id, use, proposal, ask, onPut }) {
  const { now, others } = linesOf(proposal, id);
  const told = proposal.uses[id];
  const not = notOffered(proposal).filter((one) => one.use === id);
  return html`<section class="prepare-use">
    <h3>${use.name}</h3>
    ${
      told?.still_serves > 0 &&
      html`<p class="soft">${t('prepare.still-serves', { n: told.still_serves, times: told.times })}</p>`
    }
    ${
      now.length > 0
        ? html`<ul class="prepare-lines">
            ${now.map(
              (line) =>
                html`<${Line} key=${line.package} line=${line} use=${use} ask=${ask} onPut=${onPut} />`,
            )}
          </ul>`
        : html`<p>${t('prepare.nothing-of')}</p>`
    }
    ${
      told?.own_yield !== undefined &&
      html`<p class="soft">${t('prepare.own-gave', { n: Math.round(told.own_yield / 10) })}</p>`
    }
    <${Missing} told=${told} ask=${ask} />
    ${
      others.length + not.length > 0 &&
      html`<details class="fold">
        <summary>${t('prepare.other-sizes')}</summary>
        <div class="fold-inside">
          <ul class="prepare-lines">
            ${others.map(
              (line) =>
                html`<${Line} key=${line.package} line=${line} use=${use} ask=${ask} onPut=${onPut} />`,
            )}
          </ul>
          <ul class="prepare-not">
            ${not.map((one) => html`<${NotOffered} key=${one.code} one=${one} ask=${ask} />`)}
          </ul>
        </div>
      </details>`
    }
  </section>`;
}

/** Every use with its packages. */
export function Lines({ proposal, ask, onPut }) {
  return html`${entriesOf(ask.uses).map(
    ([id, use]) =>
      html`<${UseLines}
        key=${id}
        id=${id}
        use=${use}
        proposal=${proposal}
        ask=${ask}
        onPut=${onPut}
      />`,
  )}
  ${!proposal.proven && html`<p class="soft">${t('prepare.not-proven')}</p>`}`;
}
