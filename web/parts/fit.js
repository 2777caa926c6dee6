// Fitting to the room there is by looking, not by reckoning: names and words of any language and
// length. const [box, level] = useFit(key, most);

import { useEffect, useLayoutEffect, useRef, useState } from '../ui.js';

const MOST_KEPT = 400;
const kept = new Map();

/** Whether something sticks out of an element. */
export const sticksOut = ({ scrollHeight, clientHeight, scrollWidth, clientWidth }) =>
  scrollHeight > clientHeight + 1 || scrollWidth > clientWidth + 1;

/**
 * How much must be left out, from 0 to `most`, so that the content stays inside the element. For
 * the same `key` (the same room and the same words) it is only ever more, so nothing flickers.
 */
export function useFit(key, most) {
  const element = useRef(null);
  const [fit, setFit] = useState({ key, level: kept.get(key) ?? 0 });
  const level = fit.key === key ? fit.level : (kept.get(key) ?? 0);
  useLayoutEffect(() => {
    if (!element.current || level >= most || !sticksOut(element.current)) return;
    if (kept.size >= MOST_KEPT) kept.clear();
    kept.set(key, level + 1);
    setFit({ key, level: level + 1 });
  });
  return [element, level];
}

/** How many children of a list lie wholly inside it; those after them are kept from sight. */
export function useFitting(count) {
  const list = useRef(null);
  const [fitting, setFitting] = useState(count);
  const [, look] = useState(0);
  useEffect(() => {
    if (typeof ResizeObserver === 'undefined') return undefined;
    // The room may change without anything here being drawn anew.
    const watcher = new ResizeObserver(() => look((times) => times + 1));
    watcher.observe(list.current);
    return () => watcher.disconnect();
  }, []);
  useLayoutEffect(() => {
    if (!list.current) return;
    const { bottom } = list.current.getBoundingClientRect();
    const inside = [...list.current.children].filter(
      (one) => one.getBoundingClientRect().bottom <= bottom + 1,
    ).length;
    if (inside !== fitting) setFitting(inside);
  });
  return [list, Math.min(count, fitting)];
}
