// The server's time on a device whose own clock may be wrong. Works from the monotonic time
// that is passed in; never reads a clock. Invariant: between two messages time only goes on.

/**
 * Remembers what the server said (`{now, speed}`) and the device's monotonic time of hearing it.
 */
export function heardClock(clock, monotonicMs) {
  return { now: clock.now, speed: clock.speed, at: monotonicMs };
}

/** Server time in ms since 1970, or null while no message has come. */
export function serverNow(heard, monotonicMs) {
  if (!heard) return null;
  return heard.now + (monotonicMs - heard.at) * heard.speed;
}
