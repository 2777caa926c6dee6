// Where to draw each station so that the work flows one way: layers by the longest path over the
// routes, order by barycentres, lanes kept free for ways that skip a layer. Pure geometry.
// Invariants: boxes never overlap; every way that is not marked `back` leads to a later layer.

const LANE = '~';

/** Takes away the ways that would lead in a circle: `{forward, back}`, in the order given. */
function withoutCircles(ids, edges) {
  const onward = new Map(ids.map((id) => [id, []]));
  const reaches = (from, to, seen = new Set()) => {
    if (from === to) return true;
    if (seen.has(from)) return false;
    seen.add(from);
    return onward.get(from).some((edge) => reaches(edge.to, to, seen));
  };
  const [forward, back] = [[], []];
  for (const edge of edges) {
    if (!onward.has(edge.from) || !onward.has(edge.to) || edge.from === edge.to) continue;
    if (reaches(edge.to, edge.from)) back.push({ ...edge, back: true });
    else {
      forward.push(edge);
      onward.get(edge.from).push(edge);
    }
  }
  return { forward, back };
}

/** The layer of each station: one more than the longest way that leads to it. */
function depths(ids, forward) {
  const depth = new Map(ids.map((id) => [id, 0]));
  for (let round = 0; round < ids.length; round += 1) {
    let moved = false;
    for (const { from, to } of forward) {
      if (depth.get(to) > depth.get(from)) continue;
      depth.set(to, depth.get(from) + 1);
      moved = true;
    }
    if (!moved) break;
  }
  return depth;
}

/** Layers of ids and lanes: `{layers, links, back}`; links join neighbours in adjacent layers. */
export function layered(ids, edges) {
  const { forward, back } = withoutCircles(ids, edges);
  const depth = depths(ids, forward);
  const linked = new Set(forward.flatMap(({ from, to }) => [from, to]));
  const last = Math.max(-1, ...[...linked].map((id) => depth.get(id)));
  const layers = Array.from({ length: last + 1 }, () => []);
  for (const id of ids) if (linked.has(id)) layers[depth.get(id)].push(id);
  const chains = forward.map((edge, index) => {
    const lanes = [];
    for (let at = depth.get(edge.from) + 1; at < depth.get(edge.to); at += 1) {
      lanes.push(`${LANE}${index}.${at}`);
      layers[at].push(lanes.at(-1));
    }
    return { ...edge, chain: [edge.from, ...lanes, edge.to] };
  });
  untangle(layers, chains);
  if (!layers.length) layers.push([]);
  for (const id of ids) if (!linked.has(id)) emptiest(layers).push(id);
  return { layers, chains, back };
}

/** Where a station beside the flow takes least room. */
function emptiest(layers) {
  return layers.reduce((least, layer) => (layer.length < least.length ? layer : least));
}

function untangle(layers, chains) {
  const near = new Map();
  const join = (a, b) => near.set(a, [...(near.get(a) ?? []), b]);
  for (const { chain } of chains) {
    chain.slice(1).forEach((id, index) => {
      join(id, chain[index]);
      join(chain[index], id);
    });
  }
  const sweep = (order) =>
    order.forEach(([at, beside]) => {
      const places = new Map(
        layers[beside].map((id, index) => [id, (index + 0.5) / layers[beside].length]),
      );
      const centre = (id, index) => {
        const found = (near.get(id) ?? [])
          .map((one) => places.get(one))
          .filter((p) => p !== undefined);
        if (!found.length) return (index + 0.5) / layers[at].length;
        return found.reduce((sum, one) => sum + one, 0) / found.length;
      };
      const keyed = layers[at].map((id, index) => ({ id, index, centre: centre(id, index) }));
      keyed.sort((a, b) => a.centre - b.centre || a.index - b.index);
      layers[at] = keyed.map(({ id }) => id);
    });
  const indices = layers.map((_, index) => index);
  for (let round = 0; round < 3; round += 1) {
    sweep(indices.slice(1).map((at) => [at, at - 1]));
    sweep(
      indices
        .slice(0, -1)
        .reverse()
        .map((at) => [at, at + 1]),
    );
  }
}

export const isLane = (id) => id.startsWith(LANE);
