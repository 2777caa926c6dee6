// The one door to the vendored view library: parts and screens import from here, never from
// vendor/. Not for our own components. Exactly one copy of the library is loaded.

export {
  html,
  render,
  Component,
  useState,
  useEffect,
  useLayoutEffect,
  useMemo,
  useRef,
  useErrorBoundary,
} from './vendor/htm-preact-standalone.js';
