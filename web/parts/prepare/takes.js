// What the proposal takes: produce, packages, lids, what is added, loads, the freezer.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { decimal, measured, span } from '../../core/format.js';
import { Mark } from '../pictures.js';
import { foodName, packageName, poundsRange } from './words.js';

const MINUTE_MS = 60000;

function Produce({ name, one }) {
  const short = one.short > 0;
  return html`<li>
    <strong>${foodName(name)}</strong>
    <span
      >${t('prepare.produce-needed', {
        pounds: poundsRange(one.needed),
        there: measured(one.there, 'lb'),
      })}</span
    >
    ${
      short
        ? html`<span class="prepare-short"
            ><${Mark} of="warn" />${t('prepare.produce-short', {
              pounds: measured(one.short, 'lb'),
            })}</span
          >`
        : html`<span class="soft"
            >${t('prepare.produce-left', { pounds: measured(one.left, 'lb') })}</span
          >`
    }
  </li>`;
}

function Stock({ name, one, needed }) {
  if (needed <= 0) return null;
  return html`<li>
    <strong>${name}</strong>
    <span>${t('prepare.stock', { needed, have: one.have })}</span>
    ${one.buy > 0 && html`<span>${t('prepare.buy', { n: one.buy })}</span>`}
    ${
      one.short > 0 &&
      html`<span class="prepare-short"><${Mark} of="warn" />${t('prepare.short', { n: one.short })}</span>`
    }
  </li>`;
}

function addedWords(one) {
  const food = foodName(one.food);
  if (one.is === 'lemon-juice') return t('prepare.lemon', { food, n: one.tbsp });
  if (one.is === 'as-the-recipe-says') return t('prepare.as-recipe', { food });
  // A measuring cup has quarters.
  const cups = (amount) => decimal(Math.ceil(amount / 250) * 250);
  return t('prepare.cover', { water: cups(one.water_cups), sugar: cups(one.sugar_cups) });
}

function Load({ load }) {
  return html`<li>
    <strong>${foodName(load.food)}, ${t(`prepare.jar.${load.jar}`, { n: load.jars })}</strong>
    <span
      >${t('prepare.loads', {
        jars: load.jars,
        n: load.loads,
        holds: load.holds,
        minutes: load.process_min,
        cycle: load.cycle_min,
      })}</span
    >
  </li>`;
}

/** The lists. */
export function Takes({ proposal, ask }) {
  const { lids, canner, freezer } = proposal;
  const canners = canner.needed_min > 0;
  return html`<ul class="prepare-takes">
      ${entriesOf(proposal.produce).map(
        ([name, one]) => html`<${Produce} key=${name} name=${name} one=${one} />`,
      )}
      ${entriesOf(proposal.packages).map(
        ([id, one]) =>
          html`<${Stock}
            key=${id}
            name=${packageName(ask.packages[id]?.container)}
            one=${one}
            needed=${one.needed}
          />`,
      )}
      <${Stock}
        name=${t('prepare.lids-spare', { n: lids.spare })}
        one=${lids}
        needed=${lids.for_jars && lids.for_jars + lids.spare}
      />
      ${proposal.added.map((one) => html`<li key=${one.is + one.food}>${addedWords(one)}</li>`)}
    </ul>
    ${
      canners &&
      html`<h3>${t('prepare.canner-loads')}</h3>
        <ul class="prepare-takes">
          ${proposal.loads.map((load, n) => html`<${Load} key=${n} load=${load} />`)}
        </ul>
        <p>
          ${
            canner.there_min === undefined
              ? t('prepare.canner-min', { needed: span(canner.needed_min * MINUTE_MS) })
              : t('prepare.canner-min-of', {
                  needed: span(canner.needed_min * MINUTE_MS),
                  there: span(canner.there_min * MINUTE_MS),
                })
          }
        </p>`
    }
    ${
      freezer?.pounds > 0 &&
      html`<p>
        ${t('prepare.freezes', {
          pounds: measured(freezer.pounds, 'lb'),
          most: measured(freezer.in_a_day, 'lb'),
        })}
      </p>`
    }`;
}
