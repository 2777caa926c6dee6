// JSON merge patch (RFC 7396) on plain data. Not for HTTP and not for views in particular.
// Invariant: the target is never changed; whatever a patch does not touch is shared, so a
// comparison by identity shows what moved.

const isObject = (value) => value !== null && typeof value === 'object' && !Array.isArray(value);

/** The target with the patch applied: null takes a member away, objects go deeper. */
export function merged(target, patch) {
  if (!isObject(patch)) return patch;
  const out = isObject(target) ? { ...target } : {};
  for (const [key, value] of Object.entries(patch)) {
    if (value === null) delete out[key];
    else out[key] = merged(out[key], value);
  }
  return out;
}
