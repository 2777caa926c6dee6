// What is wrong with how a page lies: runs inside the page, so it uses nothing from outside itself.

/** A line for each text that is cut off, lies over another or has no words; and sideways scrolling. */
export function spoilt() {
  const found = [];
  const place = document.querySelector('dialog[open]') ?? document.body;
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (wide > 0) found.push(`scrolls sideways by ${wide} px`);
  const unsaid = document.body.innerText.match(/\b[a-z]+(-[a-z]+)*\.[a-z]+(-[a-z]+)*\b/g) ?? [];
  if (unsaid.length) found.push(`words missing: ${unsaid.slice(0, 5).join(' ')}`);

  const hides = (style) => ['hidden', 'clip'].includes(style);
  /** Told to readers aloud, or drawn: not to be seen as words. */
  const readOnly = (one) => {
    if (one.closest('svg, [aria-hidden=true]')) return true;
    for (let up = one; up && up !== place; up = up.parentElement)
      if (getComputedStyle(up).clipPath === 'inset(50%)') return true;
    return false;
  };
  const words = (text) => text.replaceAll(/\s+/g, ' ').trim().slice(0, 50);
  const floats = (one) => {
    for (let up = one; up && up !== place; up = up.parentElement)
      if (['fixed', 'sticky'].includes(getComputedStyle(up).position)) return true;
    return false;
  };
  const drawn = [];
  const walker = document.createTreeWalker(place, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const owner = node.parentElement;
    if (!node.data.trim() || readOnly(owner) || !owner.checkVisibility({ visibilityProperty: true }))
      continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const boxes = [...range.getClientRects()].filter((box) => box.width > 1 && box.height > 1);
    // Cut off by a frame that hides what sticks out.
    for (let up = owner; up && up !== place.parentElement; up = up.parentElement) {
      const { overflowX, overflowY } = getComputedStyle(up);
      if (['auto', 'scroll'].includes(overflowX) || ['auto', 'scroll'].includes(overflowY)) break;
      const edge = up.getBoundingClientRect();
      const cut = boxes.some(
        (box) =>
          (hides(overflowX) && (box.right > edge.right + 1 || box.left < edge.left - 1)) ||
          (hides(overflowY) && (box.bottom > edge.bottom + 3 || box.top < edge.top - 3)),
      );
      if (cut) {
        found.push(`cut off: "${words(node.data)}"`);
        break;
      }
    }
    if (!floats(owner)) for (const box of boxes) drawn.push({ owner, box, text: node.data });
  }
  // Two texts on the same spot; a line's own leading may touch its neighbour.
  for (let a = 0; a < drawn.length; a += 1)
    for (let b = a + 1; b < drawn.length; b += 1) {
      const [one, other] = [drawn[a], drawn[b]];
      const across =
        Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
      const down =
        Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top);
      const deep = 0.45 * Math.min(one.box.height, other.box.height);
      if (one.owner !== other.owner && across > 2 && down > deep)
        found.push(`"${words(one.text)}" lies over "${words(other.text)}"`);
    }
  return [...new Set(found)];
}
