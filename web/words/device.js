// The words of this device's language. The server puts the file of the language that the device
// chose, or that its browser asks for, in the place of English here; so only one is fetched.

export { default, language, names, polished, refusals } from './en.js';
