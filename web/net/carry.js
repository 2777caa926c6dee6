// Sending a file of the board's data, which takes longer than a tap. Invariant: it always ends with
// an answer, `status` 0 when there is no server.

/** POST of a file as it is. */
export async function postFile(path, file) {
  try {
    const answer = await fetch(path, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', Accept: 'application/json' },
      body: file,
    });
    return { status: answer.status, body: await answer.json().catch(() => null) };
  } catch {
    return { status: 0, body: null };
  }
}
