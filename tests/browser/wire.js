// The kitchen's network between one device and the server, which a test can cut and mend. Passes
// bytes on and knows nothing of what they say. Invariant: while it is cut nothing passes either
// way; while it is one-way the server hears everything and the device hears nothing.

import { connect, createServer } from 'node:net';

const listening = (server, port) =>
  new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, '127.0.0.1', () => resolve(server.address().port));
  });

/** A wire to the server at `base`; `base` of the wire is the address to open instead. */
export async function wireTo(base) {
  const { hostname, port } = new URL(base);
  const sockets = new Set();
  let oneWay = false;

  function pass(near) {
    const far = connect({ host: hostname, port: Number(port) });
    for (const socket of [near, far]) {
      sockets.add(socket);
      socket.on('error', () => socket.destroy());
      socket.on('close', () => sockets.delete(socket));
    }
    near.on('data', (bytes) => far.write(bytes));
    far.on('data', (bytes) => {
      if (!oneWay) near.write(bytes);
    });
    near.on('close', () => far.destroy());
    far.on('close', () => near.end());
  }

  let server = createServer(pass);
  const mine = await listening(server, 0);
  const drop = () => {
    for (const socket of sockets) socket.destroy();
  };
  return {
    base: `http://127.0.0.1:${mine}`,
    /** Out of reach, as behind two walls. */
    async cut() {
      const closed = new Promise((resolve) => {
        server.close(resolve);
      });
      drop();
      await closed;
    },
    /** Within reach again. */
    async mend() {
      server = createServer(pass);
      await listening(server, mine);
    },
    /** From now on no answer comes back. */
    loseAnswers() {
      oneWay = true;
    },
    /** Answers come back again; connections that missed some are dropped. */
    bringAnswers() {
      oneWay = false;
      drop();
    },
    close() {
      server.close();
      drop();
    },
  };
}
