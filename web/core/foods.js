// The foods that have a tested process, as the server lists them, for choosing one. Pure.
// Invariant: what the tables do not hold is never offered as tested.

const same = (one, other) =>
  String(one).toLowerCase() ===
  String(other ?? '')
    .trim()
    .toLowerCase();

/** The listed food of this name, or null. */
export const foodNamed = (foods, name) =>
  (foods ?? []).find((food) => same(food.name, name)) ?? null;

/** Whether a choice of pack and jar is tabled for a food and method. */
export const isTabled = (food, method, { pack, jar }) =>
  (food.tabled ?? []).some((one) => one.method === method && one.pack === pack && one.jar === jar);

const isOf = (food, produce) => (food.produce ?? []).some((one) => same(one, produce));

/** Foods tabled for a method: those of the produce first, then by name. */
export function foodsInOrder(foods, produce, method) {
  const rank = (food) => (isOf(food, produce) ? 0 : 1);
  return (foods ?? [])
    .filter((food) => (food.tabled ?? []).some((one) => one.method === method))
    .sort((a, b) => rank(a) - rank(b) || a.name.localeCompare(b.name));
}

/** Where the server answers for a choice at an altitude in feet. */
export function testedPath({ food, pack, jar }, method, altitudeFt) {
  const asked = new URLSearchParams({ product: food, pack, jar, method, altitude_ft: altitudeFt });
  return `/api/tested?${asked}`;
}
