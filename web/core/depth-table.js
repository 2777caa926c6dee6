// Puts the depth of several queues on one time axis, as a chart wants them. Pure.
// Invariant: between two changes a depth stays as it was; a queue has no depth before it begins.

/** `[seconds, depths...]` from `[{depth: [[ms, thousandths], ...]}]`, depths in whole units. */
export function depthTable(lines) {
  const moments = [...new Set(lines.flatMap(({ depth }) => depth.map(([ms]) => ms)))].sort((a, b) => a - b);
  const columns = lines.map(({ depth }) => {
    let index = -1;
    return moments.map((ms) => {
      while (index + 1 < depth.length && depth[index + 1][0] <= ms) index += 1;
      return index < 0 ? null : amountOf(depth[index]) / 1000;
    });
  });
  return [moments.map((ms) => ms / 1000), ...columns];
}

/** A point may name several amounts (one for each product); the queue's depth is their sum. */
const amountOf = ([, ...amounts]) => amounts.reduce((sum, one) => sum + (Number(one) || 0), 0);
