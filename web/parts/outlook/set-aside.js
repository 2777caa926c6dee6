// Setting a proposed move aside, alike on the lead's screens and the helper's.

import { asideOrder } from '../../core/outlook.js';

/** For everybody; it goes from this device's screens at once. */
export function setAside(app, move) {
  app.setAside(move.id);
  app.send(asideOrder(move));
}
