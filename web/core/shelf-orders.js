// Sending an order to the shelf until there is an answer, always under the same id, so that a tap is
// never counted twice. Pure but for what it is handed.

const TRIES = 3;
const PAUSE_MS = 1200;

/** Whether an answer says to ask again: no server, or one too busy. */
export const isUnheard = (status) => status === 0 || status === 503;

/**
 * The answer to `body`, asked for up to three times. `post(path, body)` and `pause(ms)` come from
 * outside.
 */
export async function sendUntilHeard(post, path, body, pause) {
  for (let tried = 1; ; tried += 1) {
    const answer = await post(path, body);
    if (!isUnheard(answer.status) || tried === TRIES) return answer;
    await pause(PAUSE_MS);
  }
}
