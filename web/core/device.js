// Who stands at this device on a day: the helper who uses it now, all who share it, and the one
// who went on at another. Pure. Invariant: nobody is both here and moved away.

/** What a device remembers, made whole: `{helper, shared, moved}`. */
export function remembered(helper, shared, moved) {
  const all = helper && !shared.includes(helper) ? [helper, ...shared] : shared;
  return { helper: helper ?? null, shared: all, moved: helper ? null : (moved ?? null) };
}

/** Somebody takes this device, alone or beside those who share it. */
export function taken(users, id) {
  const shared = users.shared.includes(id) ? users.shared : [...users.shared, id];
  return { helper: id, shared, moved: null };
}

/**
 * After the server said which device stands for whom. Whoever went on elsewhere no longer shares
 * this device; `claiming` is said to be here and not yet heard. The same object if nothing is new.
 */
export function heeded(users, holders, device, claiming) {
  const left = (id) => id !== claiming && holders[id] !== undefined && holders[id] !== device;
  const shared = users.shared.filter((id) => !left(id));
  if (shared.length === users.shared.length) return users;
  const gone = users.helper !== null && left(users.helper);
  return gone
    ? { helper: null, shared, moved: users.helper }
    : { ...users, shared };
}

/** Others who share this device, can still be chosen and have not gone home. */
export const sharing = (users, helpers) =>
  users.shared.filter(
    (id) => id !== users.helper && helpers?.[id] && helpers[id].presence !== 'gone',
  );

/**
 * Everybody in the order in which a device offers them: those who share it, those without any
 * device, those at another, those who went home; each by name.
 */
export function joinOrder(helpers, users, holders) {
  const rank = ([id, { presence }]) => {
    if (users.shared.includes(id) || users.moved === id) return 0;
    if (presence === 'gone') return 3;
    return holders[id] === undefined ? 1 : 2;
  };
  return Object.entries(helpers ?? {}).sort(
    (a, b) => rank(a) - rank(b) || a[1].name.localeCompare(b[1].name),
  );
}

const ADULT = 18;
/** Somebody in the youngest band; the rule says the same for the whole band. */
const YOUNG = 6;

/**
 * The bands of ages between which the household's rule makes a difference, youngest first:
 * `[{from, to, age}]`, `to` undefined for the last. `age` stands for the band, never too old.
 */
export function ageBands(ageRules) {
  const bounds = Object.values(ageRules ?? {}).flatMap((bands) =>
    (bands ?? []).map((band) => band.from_age),
  );
  const from = [...new Set([0, ...bounds, ADULT])].sort((a, b) => a - b);
  return from.map((first, index) => {
    const to = index + 1 < from.length ? from[index + 1] - 1 : undefined;
    const age = first === 0 && to !== undefined ? Math.min(to, YOUNG) : first;
    return { from: first, to, age };
  });
}

/** The helper on the list whose name this is, whatever its letters' case; null if nobody's. */
export function namesake(helpers, name) {
  const plain = (text) => text.trim().normalize('NFC').toLowerCase();
  const found = Object.entries(helpers ?? {}).find(([, one]) => plain(one.name) === plain(name));
  return found?.[0] ?? null;
}
