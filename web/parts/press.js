// What lies under a finger stands still: while something is pressed the page is not drawn anew, so
// that a tap meets what was aimed at and not what took its place. Invariant: a press that lasts, or
// whose end is never told, holds the page for LONGEST_MS at most.

const LONGEST_MS = 3000;
/** Under a finger the tap follows the lifting; a swipe is lifted and never a tap. */
const TAP_MS = 100;

let since = null;
let lifted = 0;

/** Something is pressed and not yet let go. */
export const isPressed = () => since !== null && performance.now() - since < LONGEST_MS;

/**
 * Looks for presses from now on; `letGo` is called when one is over. It must not draw at once: what a
 * box was ticked to would be drawn over before it is told.
 */
export function watchPresses(letGo) {
  const press = () => {
    clearTimeout(lifted);
    if (!isPressed()) since = performance.now();
  };
  const end = () => {
    clearTimeout(lifted);
    if (since === null) return;
    since = null;
    letGo();
  };
  const lift = () => {
    clearTimeout(lifted);
    lifted = setTimeout(end, TAP_MS);
  };
  // The space bar taps when it is let go, as a finger does; the enter key at once. Held down it is told
  // again and again, and is still one press.
  const space = (then) => (event) => event.key === ' ' && !event.repeat && then();
  const capture = { capture: true, passive: true };
  addEventListener('pointerdown', press, capture);
  addEventListener('keydown', space(press), capture);
  addEventListener('pointerup', lift, capture);
  addEventListener('keyup', space(lift), capture);
  addEventListener('pointercancel', end, capture);
  addEventListener('click', end, { passive: true });
}
