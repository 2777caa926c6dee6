// Turns layers into boxes and curves inside a given area, downwards or across. Pure geometry.
// Invariants: boxes stay inside the area and never overlap; when the area is too small for the
// least box it grows along the flow, and the caller scrolls.

import { isLane } from './graph.js';

const LANE_SIZE = 22;

/**
 * `{boxes, curves, width, height, across}` for layers in an area. `least` is the smallest box
 * along the flow, `most` the largest box against it, `gap` the room for curves between layers.
 */
export function placed({ layers, chains, back }, area) {
  const { across } = area;
  const along = across ? area.width : area.height;
  const against = across ? area.height : area.width;
  const rows = rowsOf(layers, along, area);
  const spots = new Map();
  layers.forEach((layer, index) => {
    placeLayer(layer, against, area).forEach(({ id, from, size }) => {
      spots.set(id, { ...rows[index], from, size });
    });
  });
  const turn = ({ at, long, from, size }) =>
    across
      ? { x: at, y: from, width: long, height: size }
      : { x: from, y: at, width: size, height: long };
  const boxes = new Map();
  for (const [id, spot] of spots) if (!isLane(id)) boxes.set(id, turn(spot));
  const last = rows.at(-1);
  const length = last ? last.at + last.long : area.least;
  const curves = [...chains, ...back.map((edge) => ({ ...edge, chain: [edge.from, edge.to] }))].map(
    (edge) => ({ ...edge, d: curveOf(edge, spots, chains, across) }),
  );
  return {
    boxes,
    curves,
    across,
    width: across ? length : area.width,
    height: across ? area.height : length,
  };
}

/** How much more of the length a layer with more stations gets: its boxes are narrower, or lower. */
const SHARE = { down: 1.35, across: 0.3 };

/** How long each layer is and where it begins. */
function rowsOf(layers, along, { across, gap, least }) {
  const share = across ? SHARE.across : SHARE.down;
  const weights = layers.map(
    (layer) => Math.max(1, layer.filter((id) => !isLane(id)).length) ** share,
  );
  const all = weights.reduce((sum, one) => sum + one, 0);
  const spare = Math.max(0, along - layers.length * least - (layers.length - 1) * gap);
  let at = 0;
  return weights.map((weight) => {
    const row = { at, long: least + (spare * weight) / all };
    at += row.long + gap;
    return row;
  });
}

function placeLayer(layer, against, area) {
  const lanes = layer.filter(isLane).length;
  const stations = layer.length - lanes;
  const room = against - lanes * LANE_SIZE - area.beside * (layer.length - 1);
  const size = Math.min(area.most, Math.max(0, room) / Math.max(1, stations));
  const used = stations * size + lanes * LANE_SIZE;
  const spare = (against - used) / (layer.length + 1);
  const between = layer.length > 1 ? Math.min(spare, area.beside * 3) : 0;
  let from = (against - used - between * (layer.length - 1)) / 2;
  const tight = spare < area.beside;
  if (tight) from = 0;
  return layer.map((id) => {
    const own = isLane(id) ? LANE_SIZE : size;
    const spot = { id, from, size: own };
    from += own + (tight ? area.beside : between);
    return spot;
  });
}

/** Where on a box's edge a way begins or ends, so that several do not run into one. */
function port(id, other, spots, chains, side) {
  const spot = spots.get(id);
  if (isLane(id)) return spot.from + spot.size / 2;
  const others = [
    ...new Set(
      chains.flatMap(({ chain }) =>
        chain.map((one, index) => (one === id ? chain[index + side] : null)).filter(Boolean),
      ),
    ),
  ];
  others.sort((a, b) => middle(spots.get(a)) - middle(spots.get(b)));
  const index = Math.max(0, others.indexOf(other));
  return spot.from + (spot.size * (index + 1)) / (others.length + 1);
}

const middle = (spot) => spot.from + spot.size / 2;
const point = (along, beside, across) =>
  across ? `${r(along)} ${r(beside)}` : `${r(beside)} ${r(along)}`;
const r = (n) => Math.round(n * 10) / 10;

function curveOf({ chain }, spots, chains, across) {
  const parts = [];
  chain.slice(1).forEach((to, index) => {
    const from = chain[index];
    const [a, b] = [spots.get(from), spots.get(to)];
    const start = { along: a.at + a.long, beside: port(from, to, spots, chains, 1) };
    const end = { along: b.at, beside: port(to, from, spots, chains, -1) };
    if (isLane(from)) parts.push(`L ${point(start.along, start.beside, across)}`);
    else parts.push(`M ${point(start.along, start.beside, across)}`);
    const bend = (end.along - start.along) * 0.5;
    parts.push(
      `C ${point(start.along + bend, start.beside, across)} ` +
        `${point(end.along - bend, end.beside, across)} ${point(end.along, end.beside, across)}`,
    );
  });
  return parts.join(' ');
}
