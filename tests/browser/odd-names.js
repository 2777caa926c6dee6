// Two hundred names that would be more than names where a page took them for markup, and the orders that
// give them to stations and, where they are short enough, to helpers.

/** Texts that would be more than a name where a page took them for markup. */
export function payloads() {
  const run = ['alert(1)', 'window.hurt=1', "fetch('http://evil.test/')"];
  const shapes = [
    (js) => `<script>${js}</script>`,
    (js) => `"><script>${js}</script>`,
    (js) => `<img src=x onerror=${js}>`,
    (js) => `<svg onload=${js}>`,
    (js) => `"onfocus=${js} autofocus="`,
    (js) => `javascript:${js}`,
    (js) => `\${${js}}`,
    (js) => `{{${js}}}`,
    (js) => `</b><iframe src=javascript:${js}>`,
    (js) => `<a href=javascript:${js}>x</a>`,
    (js) => `'-${js}-'`,
    (js) => `<details open ontoggle=${js}>`,
    (js) => `<math><a xlink:href=javascript:${js}>`,
    (js) => `<style>@import'//evil.test'</style>${js.length}`,
    (js) => `&lt;script&gt;${js}`,
    (js) => `<!--><img src=x onerror=${js}>`,
    (js) => `<link rel=stylesheet href=//evil.test>${js.length}`,
    (js) => `]]><x onclick=${js}>`,
  ];
  const starts = ['', 'Bo ', '\u2018', "'"];
  return shapes
    .flatMap((shape) => run.map(shape))
    .flatMap((text) => starts.map((start) => start + text))
    .filter((text) => [...text].length <= 60)
    .slice(0, 200)
    // The short ones first, so that helpers can have them.
    .sort((a, b) => a.length - b.length);
}

/** A day has room for so many more stations. */
export const AT_ONCE = 25;
const HELPER_NAME_MAX = 24;

/** Those of the first names that helpers are called by. */
export const onHelpers = (names) => names.filter((name) => [...name].length <= HELPER_NAME_MAX);

const station = (name) => ({ name, work: 'peel', nature: { is: 'hand' }, seats: 1, set_up: true });
const helper = (name, n) => ({ name, sign: `own-${n}`, age: 30, limits: [], likes: [], here: true });

/** The orders that put `names` on new stations and helpers. */
export const first = (names) => [
  ...names.map((name, n) => ({ order: 'add-station', station: `odd-${n}`, plan: station(name) })),
  ...onHelpers(names).map((name, n) => ({
    order: 'add-helper',
    helper: `odd-${n}`,
    plan: helper(name, n),
  })),
];

/** The orders that give those stations other names. */
export const next = (names) =>
  names.map((name, n) => ({ order: 'change-station', station: `odd-${n}`, plan: station(name) }));

/** How much of a page is markup that only a name could have brought, or a script of one has done. */
export const hurt = () => [
  globalThis.hurt ?? null,
  document.querySelectorAll('#app script, iframe, math, [onerror], [onload], [onfocus]').length,
];
