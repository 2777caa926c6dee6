// A stage for the browser side alone: serves web/ and plays a constructed day, so that screens can
// be drawn and tried without the real server. It decides almost nothing and is no measure of the
// rules. Usage: node rehearsal.js [port]   (0 picks a free one and prints it)

import { createServer } from 'node:http';
import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { extname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { rehearsalView, rehearsalLookBack, rehearsalKitchens } from './rehearsal-view.js';
import { rehearsalOutlook } from './rehearsal-outlook.js';
import { played } from './rehearsal-play.js';

const WEB = fileURLToPath(new URL('../../web/', import.meta.url));
const TYPES = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
};
const POLICY =
  [
  "default-src 'self'",
  "img-src 'self' data:",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'self'",
  "frame-ancestors 'none'",
].join('; ');
const SVG =
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 29 29">' +
  '<rect width="29" height="29" fill="#fff"/>' +
  Array.from({ length: 29 * 29 }, (_, i) =>
    (i * 7919 + (i >> 3) * 31) % 5 < 2
      ? `<rect x="${i % 29}" y="${Math.floor(i / 29)}" width="1" height="1"/>`
      : '',
  ).join('') +
  '</svg>';

const stage = {
  seq: 40,
  view: rehearsalView(Date.now()),
  answers: new Map(),
  role: 'lead',
  sockets: new Set(),
  deaf: false,
};
const clock = () => ({ now: Date.now(), speed: 1 });

function frame(text) {
  const body = Buffer.from(text);
  const long =
    body.length < 126
      ? Buffer.from([0x81, body.length])
      : body.length < 65536
        ? Buffer.from([0x81, 126, body.length >> 8, body.length & 255])
        : Buffer.from([
            0x81,
            127,
            0,
            0,
            0,
            0,
            body.length >>> 24,
            (body.length >> 16) & 255,
            (body.length >> 8) & 255,
            body.length & 255,
          ]);
  return Buffer.concat([long, body]);
}

const outlookPush = () => ({
  push: 'outlook',
  clock: clock(),
  outlook: rehearsalOutlook(Date.now()),
});

const push = (message) => {
  for (const socket of stage.sockets) socket.write(frame(JSON.stringify(message)));
};

function command(body) {
  const before = stage.answers.get(body.id);
  if (before) return before;
  const outcome = played(stage.view, body.command, { now: Date.now(), id: body.id });
  if (outcome.problem)
    return [409, { type: 'about:blank', title: 'Refused', status: 409, ...outcome.problem }];
  stage.seq += 1;
  push({
    push: 'patch',
    from: stage.seq - 1,
    seq: stage.seq,
    clock: clock(),
    commands: [body.id],
    patch: outcome.patch,
  });
  stage.view = outcome.view;
  const answer = [200, { id: body.id, seq: stage.seq, at: Date.now() }];
  stage.answers.set(body.id, answer);
  return answer;
}

const routes = [
  ['GET', /^\/api\/me$/, () => [200, { device: 'd1', role: stage.role, clock: clock() }]],
  [
    'POST',
    /^\/api\/me$/,
    (_, body) =>
      body.code || body.watch
        ? [200, { device: 'd1', role: stage.role, clock: clock() }]
        : body.lead_key === 'right'
        ? [200, { role: (stage.role = 'lead') }]
        : [403, { detail: 'That key is not right.' }],
  ],
  [
    'GET',
    /^\/api\/days$/,
    () => [
      200,
      {
        days: {
          pears: {
            name: stage.view.day.name,
            date: stage.view.day.date,
            phase: 'open',
            opened_at: stage.view.day.opened_at,
            seq: stage.seq,
          },
          'plums-early': {
            name: 'Early plums',
            date: '2026-08-30',
            phase: 'closed',
            opened_at: 1,
            seq: 310,
          },
        },
      },
    ],
  ],
  ['POST', /^\/api\/days$/, () => [201, { day: 'pears', seq: 1 }]],
  ['GET', /^\/api\/kitchens$/, () => [200, rehearsalKitchens]],
  ['GET', /^\/api\/join$/, () => [200, { addresses: ['http://192.168.1.5:8080/'] }]],
  [
    'GET',
    /^\/api\/days\/pears\/view$/,
    () => [200, { seq: stage.seq, clock: clock(), view: stage.view }],
  ],
  ['GET', /^\/api\/days\/[^/]+\/look-back$/, () => [200, rehearsalLookBack(stage.view)]],
  ['POST', /^\/api\/days\/pears\/commands$/, (_, body) => command(body)],
  [
    'POST',
    /^\/stage$/,
    (_, body) => {
      Object.assign(stage, body);
      if (body.deaf) for (const s of stage.sockets) s.destroy();
      return [200, {}];
    },
  ],
];

async function answer(request, response) {
  const { pathname } = new URL(request.url, 'http://stage');
  const chunks = [];
  for await (const chunk of request) chunks.push(chunk);
  if (stage.deaf && pathname !== '/stage') {
    request.socket.destroy();
    return;
  }
  if (pathname === '/api/join.svg') {
    response.writeHead(200, { 'Content-Type': 'image/svg+xml' }).end(SVG);
    return;
  }
  const route = routes.find(([method, path]) => method === request.method && path.test(pathname));
  if (route) {
    const body = chunks.length ? JSON.parse(Buffer.concat(chunks)) : null;
    const [status, data] = route[2](pathname, body);
    response.writeHead(status, { 'Content-Type': 'application/json' }).end(JSON.stringify(data));
    return;
  }
  const file = normalize(join(WEB, pathname === '/' ? 'index.html' : pathname));
  try {
    if (!file.startsWith(WEB)) throw new Error('outside');
    const bytes = await readFile(file);
    response
      .writeHead(200, {
        'Content-Type': TYPES[extname(file)] ?? 'application/octet-stream',
        'Content-Security-Policy': POLICY,
        'X-Content-Type-Options': 'nosniff',
      })
      .end(bytes);
  } catch {
    response
      .writeHead(404, { 'Content-Type': 'application/json' })
      .end(
        JSON.stringify({
          title: 'Not here',
          status: 404,
          detail: 'There is nothing at this address.',
        }),
      );
  }
}

const server = createServer((request, response) => {
  answer(request, response).catch((error) => {
    console.error(error);
    response.destroy();
  });
});
server.on('upgrade', (request, socket) => {
  if (stage.deaf) {
    socket.destroy();
    return;
  }
  const key = createHash('sha1')
    .update(`${request.headers['sec-websocket-key']}258EAFA5-E914-47DA-95CA-C5AB0DC85B11`)
    .digest('base64');
  socket.write(
    'HTTP/1.1 101 Switching Protocols\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n' +
      `Sec-WebSocket-Accept: ${key}\r\n\r\n`,
  );
  stage.sockets.add(socket);
  socket.on('close', () => stage.sockets.delete(socket));
  socket.on('error', () => stage.sockets.delete(socket));
  socket.on('data', () => {});
  socket.write(
    frame(JSON.stringify({ push: 'view', seq: stage.seq, clock: clock(), view: stage.view })),
  );
  socket.write(frame(JSON.stringify(outlookPush())));
});
setInterval(() => push(outlookPush()), 10000).unref();
server.listen(Number(process.argv[2] ?? 0), '127.0.0.1', () =>
  console.log(`http://127.0.0.1:${server.address().port}`),
);
