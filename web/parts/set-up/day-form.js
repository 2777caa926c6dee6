// The day's own settings and the household's rule for ages.

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { momentOn, timeField } from '../../core/format.js';
import { manner } from '../../core/manner.js';
import { feetOf, M_IN_FT } from '../../core/units.js';
import { AmountField, ChoiceField, Field, TextField, WholeField } from '../fields.js';
import { OrderForm } from '../order-form.js';
import { NEEDS } from './station-form.js';

/** Altitude: never skipped in silence. `unknown` says it will follow. */
export function AltitudeField({ value, unknown, onValue, onUnknown }) {
  const { units, locale } = manner();
  const inMetres = units === 'metric';
  const kept =
    inMetres &&
    value !== undefined &&
    t('day.altitude-kept', { height: t('unit.ft', { n: value.toLocaleString(locale) }) });
  return html`<${WholeField}
      label=${t(inMetres ? 'day.altitude-m' : 'day.altitude')}
      hint=${[t('day.altitude-hint'), kept].filter(Boolean).join(' ')}
      value=${inMetres && value !== undefined ? Math.floor(value * M_IN_FT) : value}
      onValue=${(n) => onValue(inMetres && n !== undefined ? feetOf(n) : n)}
      min=${inMetres ? -150 : -500}
      max=${inMetres ? 4572 : 15000}
      disabled=${unknown}
    />
    ${
      onUnknown &&
      html`<label class="check"
          ><input type="checkbox" checked=${unknown} onChange=${() => onUnknown(!unknown)} />
          <span>${t('day.altitude-unknown')}</span></label
        >
        ${unknown && html`<p class="caution">${t('day.altitude-unknown-why')}</p>`}`
    }`;
}

/** Name, altitude, cut-off, scraps bucket. */
export function DayForm({ app }) {
  const { day } = app.view;
  const [name, setName] = useState(day.name);
  const [altitude, setAltitude] = useState(day.altitude_ft);
  const [cut, setCut] = useState(day.cut_off_at ? timeField(day.cut_off_at) : '');
  const [bucket, setBucket] = useState(day.scraps_bucket_lb);
  const build = () => {
    const changes = {
      name: name.trim(),
      altitude_ft: altitude,
      scraps_bucket_lb: bucket ?? undefined,
      cut_off_at: momentOn(day.date, cut),
    };
    const now = {
      name: day.name,
      altitude_ft: day.altitude_ft,
      scraps_bucket_lb: day.scraps_bucket_lb,
      cut_off_at: day.cut_off_at,
    };
    const changed = Object.entries(changes).filter(
      ([member, value]) => value !== undefined && value !== '' && value !== now[member],
    );
    return changed.length
      ? { order: 'change-day', ...Object.fromEntries(changed) }
      : t('form.nothing-changed');
  };
  return html`<${OrderForm} app=${app} button=${t('form.save')} build=${build}>
    <div class="pair">
      <${TextField} label=${t('field.name')} value=${name} onValue=${setName} maxlength="60" />
      <${AltitudeField} value=${altitude} onValue=${setAltitude} />
      <${Field} label=${t('day.cut-off')} hint=${t('day.cut-off-hint')}
        ><input type="time" value=${cut} onInput=${(event) => setCut(event.target.value)}
      /><//>
      <${AmountField} label=${t('day.bucket')} measure="lb" value=${bucket} onValue=${setBucket} /></div
  ><//>`;
}

const VERDICTS = ['never', 'with-adult', 'allowed'];

const bandAfter = (bands) => ({ from_age: (bands.at(-1)?.from_age ?? 0) + 2, verdict: 'allowed' });

/** For each need, from which age on what holds. */
export function AgeRulesForm({ app }) {
  const [rules, setRules] = useState(app.view.day.age_rules ?? {});
  const set = (need, bands) =>
    setRules({ ...rules, [need]: [...bands].sort((a, b) => a.from_age - b.from_age) });
  const bandsOf = (need) =>
    rules[need] ?? [
      { from_age: 0, verdict: 'never' },
      { from_age: 18, verdict: 'allowed' },
    ];
  const change = (need, index, more) =>
    setRules({
      ...rules,
      [need]: bandsOf(need).map((band, at) => (at === index ? { ...band, ...more } : band)),
    });
  const build = () => ({
    order: 'set-age-rules',
    rules: Object.fromEntries(
      entriesOf(rules).map(([need, bands]) => [
        need,
        [...bands].sort((a, b) => a.from_age - b.from_age),
      ]),
    ),
  });
  return html`<p class="soft">${t('set-up.about.age-rules')}</p>
    <${OrderForm} app=${app} button=${t('form.save')} build=${build}
      >${NEEDS.map(
        (need) =>
          html`<fieldset class="field rule" key=${need}>
            <legend class="field-label">${t(`need.${need}`)}</legend>
            ${bandsOf(need).map(
              (band, index) =>
                html`<div class="rule-band" key=${index}>
                  <${WholeField}
                    label=${t('rule.from')}
                    value=${band.from_age}
                    onValue=${(n) => change(need, index, { from_age: n ?? 0 })}
                    max=${120}
                    disabled=${index === 0}
                  />
                  <${ChoiceField}
                    label=${t('rule.verdict')}
                    value=${band.verdict}
                    onValue=${(verdict) => change(need, index, { verdict })}
                    options=${VERDICTS.map((one) => [one, t(`verdict.${one}`)])}
                  />
                  <button
                    type="button"
                    class="button"
                    disabled=${index === 0}
                    aria-label=${t('rule.away', { need: t(`need.${need}`), age: band.from_age })}
                    onClick=${() =>
                      set(
                        need,
                        bandsOf(need).filter((_, at) => at !== index),
                      )}
                  >
                    ${t('step.away')}
                  </button>
                </div>`,
            )}
            <button
              type="button"
              class="button"
              onClick=${() => set(need, [...bandsOf(need), bandAfter(bandsOf(need))])}
            >
              + ${t('rule.add')}
            </button>
          </fieldset>`,
      )}<//
    >`;
}
