// What a board keeps when its page is closed, without a browser.

/** `shelf` holds the outbox's entries by id, `notes` what was refused and not yet read. */
export function memoryOf(shelf = new Map(), notes = []) {
  return {
    shelf,
    outbox: () => [...shelf.values()],
    keep: (_, entry) => shelf.set(entry.id, JSON.stringify(entry)),
    forget: (_, id) => shelf.delete(id),
    keeps: (_, id) => shelf.has(id),
    watch: () => () => {},
    refusals: () => notes,
    keepRefusals: (_, list) => {
      notes = list;
    },
  };
}
