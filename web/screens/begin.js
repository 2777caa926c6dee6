// Beginning a day: from a ready kitchen or from an earlier day. Altitude is asked, never skipped
// in silence.

import { html, useEffect, useState } from '../ui.js';
import { given, t } from '../words/words.js';
import { civilDate, momentOn } from '../core/format.js';
import { entriesOf } from '../core/flow.js';
import { Field, RadioField, TextField } from '../parts/fields.js';
import { AltitudeField } from '../parts/set-up/day-form.js';
import { Problem } from '../parts/problem.js';
import { Footer } from '../parts/frame.js';

function startsOf(app) {
  const kitchens = entriesOf(app.kitchens).map(([id, one]) => [
    `kitchen ${id}`,
    given(one.name),
    given(one.about),
  ]);
  const days = entriesOf(app.days)
    .sort(([, a], [, b]) => String(b.date).localeCompare(String(a.date)))
    .slice(0, 6)
    .map(([id, one]) => [
      `day ${id}`,
      t('begin.again', { name: one.name, date: one.date }),
      t('begin.again-about'),
    ]);
  return [...kitchens, ...days];
}

async function planFrom(app, start) {
  const [kind, id] = start.split(' ');
  if (kind === 'kitchen') return { body: app.kitchens[id].plan, status: 200 };
  return app.get(`/api/days/${id}/plan-again`);
}

function useBegin(app, fields) {
  const [state, setState] = useState({ is: 'open' });
  const [request, setRequest] = useState(app.uuid());
  async function begin(event) {
    event.preventDefault();
    const { start, name, date, altitude, unknown, cut } = fields;
    if (!start) {
      setState({ is: 'missing', words: t('begin.say-start') });
      return;
    }
    if (!name.trim()) {
      setState({ is: 'missing', words: t('field.name-missing') });
      return;
    }
    if (altitude === undefined && !unknown) {
      setState({ is: 'missing', words: t('begin.say-altitude') });
      return;
    }
    setState({ is: 'sending' });
    const from = await planFrom(app, start);
    if (from.status !== 200) {
      setState({ is: 'refused', problem: from.body ?? { detail: t('days.unreachable') } });
      return;
    }
    const { altitude_ft: oldAltitude, cut_off_at: oldCut, ...rest } = from.body;
    const cutOff = momentOn(date, cut);
    const plan = {
      ...rest,
      name: name.trim(),
      date,
      ...(altitude !== undefined && !unknown && { altitude_ft: altitude }),
      ...(cutOff && { cut_off_at: cutOff }),
    };
    const answer = await app.post('/api/days', { id: request, plan });
    if (answer.status === 201 || answer.status === 200) app.go(`#/day/${answer.body.day}/lead`);
    else {
      // An answer settles the request; without one the same request is sent again, not a second.
      if (answer.status !== 0) setRequest(app.uuid());
      setState({ is: 'refused', problem: answer.body ?? { detail: t('days.unreachable') } });
    }
  }
  return [state, begin];
}

/** The screen at `#/begin`. */
export function BeginScreen({ app }) {
  const [start, setStart] = useState(undefined);
  const [name, setName] = useState('');
  const [date, setDate] = useState(civilDate(app.wallClock()));
  const [altitude, setAltitude] = useState(undefined);
  const [unknown, setUnknown] = useState(false);
  const [cut, setCut] = useState('');
  const [state, begin] = useBegin(app, { start, name, date, altitude, unknown, cut });
  useEffect(() => {
    app.loadKitchens();
  }, []);
  return html`<div class="frame narrow">
    <header class="top">
      <div class="top-words">
        <h1>${t('begin.title')}</h1>
        <p class="top-sub">${t('begin.sub')}</p>
      </div>
      <nav class="top-tools"><a class="button button-quiet" href="#/">${t('nav.days')}</a></nav>
    </header>
    <main class="main">
      <form class="order-form" onSubmit=${begin} novalidate>
        <${RadioField}
          label=${t('begin.start')}
          name="start"
          value=${start}
          onValue=${setStart}
          options=${startsOf(app)}
        />
        <div class="pair">
          <${TextField}
            label=${t('begin.name')}
            hint=${t('begin.name-hint')}
            value=${name}
            onValue=${setName}
            maxlength="60"
          />
          <${Field} label=${t('begin.date')}
            ><input type="date" value=${date} onInput=${(event) => setDate(event.target.value)}
          /><//>
          <${Field} label=${t('day.cut-off')} hint=${t('day.cut-off-hint')}
            ><input type="time" value=${cut} onInput=${(event) => setCut(event.target.value)}
          /><//>
        </div>
        <${AltitudeField}
          value=${altitude}
          unknown=${unknown}
          onValue=${setAltitude}
          onUnknown=${setUnknown}
        />
        ${state.is === 'missing' && html`<p class="problem" role="alert">${state.words}</p>`}
        ${state.is === 'refused' && html`<${Problem} app=${app} problem=${state.problem} />`}
        <button class="button button-act button-wide" disabled=${state.is === 'sending'}>
          ${t(state.is === 'sending' ? 'pending.sending' : 'begin.do')}
        </button>
      </form>
    </main>
    <${Footer} app=${app} />
  </div>`;
}
