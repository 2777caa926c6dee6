// Puts the depth of several queues on one time axis, as a chart wants them. Pure.
// Invariant: between two changes a depth stays as it was; a queue has no depth before it begins.

/** `[seconds, depths...]` from `[{depth: [[ms, thousandths], ...]}]`, depths in whole units; the
 * last depth goes on to `end`. */
export function depthTable(lines, end) {
  const all = lines.flatMap(({ depth }) => depth.map(([ms]) => ms));
  const moments = [...new Set(end === undefined ? all : [...all, end])].sort((a, b) => a - b);
  const columns = lines.map(({ depth }) => {
    let index = -1;
    return moments.map((ms) => {
      while (index + 1 < depth.length && depth[index + 1][0] <= ms) index += 1;
      return index < 0 ? null : depth[index][1] / 1000;
    });
  });
  return [moments.map((ms) => ms / 1000), ...columns];
}
