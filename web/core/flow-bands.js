// Puts what came to and left each stage of a product as bands upon each other, as a chart wants
// them. Pure. Invariants: the bands stand in the order of the route, finished lowest; between two
// changes each stays as thick as it was; the area of a band is the stay of its stage, in packages.

/**
 * `{moments, layers}` of `{stages, finished}`: moments in seconds from `from` to `to`; layers from
 * below, `{station, thick, top}` in packages at each moment, `station` null for what is finished.
 * Null when nothing of it can be told in packages.
 */
export function flowBands(flow, from, to) {
  const stages = (flow?.stages ?? []).filter(({ packages }) => packages > 0);
  if (!stages.length || to <= from) return null;
  const finished = (flow.finished ?? []).map(([ms, n]) => [ms, n, 0]);
  const curves = [
    { station: null, points: finished, each: 1 },
    ...[...stages].reverse().map(({ station, points, packages }) => ({
      station,
      points,
      each: packages,
    })),
  ];
  const all = curves.flatMap(({ points }) => points.map(([ms]) => ms));
  const moments = [...new Set([from, ...all, to])]
    .filter((ms) => ms >= from && ms <= to)
    .sort((a, b) => a - b);
  let below = moments.map(() => 0);
  const layers = curves.map(({ station, points, each }) => {
    let index = -1;
    const thick = moments.map((ms) => {
      while (index + 1 < points.length && points[index + 1][0] <= ms) index += 1;
      return index < 0 ? 0 : ((points[index][1] - points[index][2]) / 1000) * each;
    });
    below = below.map((under, at) => under + thick[at]);
    return { station, thick, top: below };
  });
  return { moments: moments.map((ms) => ms / 1000), layers };
}
