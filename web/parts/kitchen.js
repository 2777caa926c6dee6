// The kitchen as the work flows: stations in boxes, ways between them as curves, fitted to the
// room there is. <${Kitchen} app=${app} onOpen=${(id) => ...} wall=${false} />

import { html, useEffect, useLayoutEffect, useMemo, useRef, useState } from '../ui.js';
import { t } from '../words/words.js';
import { listed } from '../core/format.js';
import { edgesOf, stationsInOrder } from '../core/flow.js';
import { layered } from '../core/graph.js';
import { placed } from '../core/placing.js';
import { boxShows, StationBox } from './station-box.js';
import { Still } from './still.js';

function useRoom(element) {
  const [room, setRoom] = useState(null);
  const measure = () => {
    const box = element.current?.getBoundingClientRect();
    if (!box) return;
    const rem = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) || 16;
    setRoom((old) =>
      old && old.width === box.width && old.height === box.height && old.rem === rem
        ? old
        : { width: box.width, height: box.height, rem },
    );
  };
  useLayoutEffect(measure, []);
  useEffect(() => {
    if (typeof ResizeObserver === 'undefined') {
      addEventListener('resize', measure);
      return () => removeEventListener('resize', measure);
    }
    const watcher = new ResizeObserver(measure);
    watcher.observe(element.current);
    return () => watcher.disconnect();
  }, []);
  return room;
}

/** The smallest words, in pixels: 14 near by; from three metres, by the size of the wall. */
const NEAR_PX = 14;
const wallUnit = () =>
  Math.max(NEAR_PX, Math.min((innerHeight * 24) / 1080, (innerWidth * 24) / 1920));

/** Across when every layer gets a comfortable width, else downwards. */
function areaFor(room, layerCount, unit, wall) {
  const across = room.width / layerCount >= (wall ? 7 : 15) * unit;
  const gap = across ? (wall ? 1.1 : 2) * unit : 0.9 * unit;
  const least = across ? (wall ? 6 : 12) * unit : 3.9 * unit;
  const most = across ? (wall ? 22 : 17) * unit : 30 * unit;
  return { width: room.width, height: room.height, across, gap, least, most, beside: 0.6 * unit };
}

function Ways({ plan }) {
  return html`<svg
    class="ways"
    width=${plan.width}
    height=${plan.height}
    aria-hidden="true"
    viewBox=${`0 0 ${plan.width} ${plan.height}`}
  >
    <defs>
      <marker
        id="tip"
        viewBox="0 0 8 8"
        refX="7"
        refY="4"
        markerWidth="11"
        markerHeight="11"
        markerUnits="userSpaceOnUse"
        orient="auto"
      >
        <path d="M0 0l8 4-8 4z" class="tip" />
      </marker>
    </defs>
    ${plan.curves.map(
      (curve) =>
        html`<path
          key=${`${curve.from} ${curve.to}`}
          d=${curve.d}
          class=${curve.back ? 'way way-back' : 'way'}
          marker-end="url(#tip)"
        />`,
    )}
  </svg>`;
}

/** Where there is no room to draw: one below the other, the ways in words. */
function List({ app, ids, edges, onOpen, wall }) {
  const then = (id) => {
    const names = edges
      .filter(({ from }) => from === id)
      .map(({ to }) => app.view.stations[to].name);
    return names.length ? t('tally.next', { station: listed(names) }) : '';
  };
  return html`<div class="kitchen-list">
    ${ids.map(
      (id) =>
        html`<${Still} key=${id} of=${[then(id), ...boxShows(app, id)]}>
          <${StationBox}
            app=${app}
            id=${id}
            unit=${NEAR_PX}
            wall=${wall}
            onOpen=${onOpen}
            then=${then(id)}
          /><//
        >`,
    )}
  </div>`;
}

const DRAWN_FROM_REM = 34;

/** The stations that are ready in the order of the work, and the ways between them. */
function wayThrough(view, ready) {
  const ids = stationsInOrder(view).filter((id) => ready.includes(id));
  const edges = edgesOf(view).filter(({ from, to }) => ids.includes(from) && ids.includes(to));
  return { ids, edges, key: JSON.stringify([ids, edges]) };
}

/** The stations that stand ready and the ways between them. */
export function Kitchen({ app, onOpen, wall }) {
  const frame = useRef(null);
  const room = useRoom(frame);
  const { view } = app;
  const ready = Object.keys(view.stations ?? {}).filter((id) => view.stations[id].set_up);
  const { ids, edges, key } = useMemo(() => wayThrough(view, ready), [view.products, `${ready}`]);
  const layers = useMemo(() => layered(ids, edges), [key]);
  const unit = wall ? wallUnit() : (NEAR_PX * (room?.rem ?? 16)) / 16;
  const drawn = room && room.width >= DRAWN_FROM_REM * room.rem;
  const plan = useMemo(
    () => (drawn ? placed(layers, areaFor(room, layers.layers.length, unit, wall)) : null),
    [layers, room, unit, wall],
  );
  return html`<div
    class="kitchen"
    ref=${frame}
    aria-label=${t('kitchen.label')}
    role="region"
    tabindex=${wall ? -1 : 0}
  >
    ${
      plan &&
      html`<div
        class="kitchen-inside"
        style=${{ width: `${plan.width}px`, height: `${plan.height}px` }}
      >
        <${Ways} plan=${plan} />
        ${ids.map((id) => {
          const box = plan.boxes.get(id);
          return (
            box &&
            html`<${Still} key=${id} of=${[box, unit, ...boxShows(app, id)]}>
              <${StationBox}
                app=${app}
                id=${id}
                box=${box}
                onOpen=${onOpen}
                wall=${wall}
                unit=${unit}
              /><//
            >`
          );
        })}
      </div>`
    }
    ${
      room &&
      !drawn &&
      html`<${List} app=${app} ids=${ids} edges=${edges} onOpen=${onOpen} wall=${wall} />`
    }
    ${ids.length === 0 && html`<p class="soft">${t('kitchen.empty')}</p>`}
  </div>`;
}
