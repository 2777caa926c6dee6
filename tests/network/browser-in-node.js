// What the browser's code asks of a browser, as far as a device of the tests needs it: `fetch` by
// path, `location`, and a WebSocket client (RFC 6455) that can be talked to.

import { randomBytes } from 'node:crypto';
import { connect } from 'node:net';

const CONNECTING = 0;
const OPEN = 1;
const CLOSED = 3;
const [TEXT, CLOSE, PING, PONG] = [1, 8, 9, 10];

class Socket {
  static OPEN = OPEN;

  constructor(url) {
    const { hostname, port, host, pathname, search } = new URL(url.replace(/^ws/, 'http'));
    this.readyState = CONNECTING;
    this.read = Buffer.alloc(0);
    this.line = connect({ host: hostname, port: Number(port) });
    this.line.on('connect', () => {
      const key = randomBytes(16).toString('base64');
      this.line.write(
        `GET ${pathname}${search} HTTP/1.1\r\nHost: ${host}\r\nConnection: Upgrade\r\n` +
          `Upgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: ${key}\r\n` +
          `Authorization: ${process.env.WHO}\r\n\r\n`,
      );
    });
    this.line.on('data', (bytes) => {
      this.read = Buffer.concat([this.read, bytes]);
      this.take();
    });
    this.line.on('error', () => {});
    this.line.on('close', () => this.ended());
  }

  ended() {
    if (this.readyState === CLOSED) return;
    this.readyState = CLOSED;
    this.onclose?.();
  }

  take() {
    if (this.readyState === CONNECTING) {
      const end = this.read.indexOf('\r\n\r\n');
      if (end < 0) return;
      if (!this.read.toString('latin1', 0, 12).endsWith(' 101')) {
        this.line.destroy();
        return;
      }
      this.read = this.read.subarray(end + 4);
      this.readyState = OPEN;
    }
    for (let frame = this.next(); frame; frame = this.next()) this.heard(frame);
  }

  /** The next whole frame; a server sends them unmasked, and this one never in parts. */
  next() {
    const { read } = this;
    if (read.length < 2) return null;
    const short = read[1] & 0x7f;
    const head = { 126: 4, 127: 10 }[short] ?? 2;
    if (read.length < head) return null;
    let length = short;
    if (short === 126) length = read.readUInt16BE(2);
    if (short === 127) length = Number(read.readBigUInt64BE(2));
    if (read.length < head + length) return null;
    this.read = read.subarray(head + length);
    return { opcode: read[0] & 0x0f, payload: read.subarray(head, head + length) };
  }

  heard({ opcode, payload }) {
    if (opcode === TEXT) this.onmessage?.({ data: payload.toString() });
    if (opcode === PING) this.frame(PONG, payload);
    if (opcode === CLOSE) this.line.end();
  }

  frame(opcode, payload) {
    const mask = randomBytes(4);
    const masked = payload.map((byte, place) => byte ^ mask[place % 4]);
    this.line.write(Buffer.concat([Buffer.from([0x80 | opcode, 0x80 | payload.length]), mask, masked]));
  }

  send(text) {
    this.frame(TEXT, Buffer.from(text));
  }

  close() {
    this.line.destroy();
  }
}

/** Makes this process a browser on the page of `host`, let in as the environment's `WHO`. */
export function beBrowserOf(host) {
  const fetched = globalThis.fetch;
  const nothing = () => {};
  Object.assign(globalThis, {
    location: { protocol: 'http:', host },
    document: { visibilityState: 'visible', addEventListener: nothing, removeEventListener: nothing },
    addEventListener: nothing,
    removeEventListener: nothing,
    WebSocket: Socket,
    fetch: (path, init) =>
      fetched(`http://${host}${path}`, {
        ...init,
        headers: { ...init?.headers, Authorization: process.env.WHO },
      }),
  });
}
