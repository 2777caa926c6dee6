// Words in English for what is rarely said on a day, fetched when it is.

export default {
  'disk.full': "The computer's disk is full: taps wait on your device. Make room on it.",
  'disk.fails': "The computer's disk takes nothing: taps wait on your device. See to the disk.",
  'disk.works': 'The board takes taps again.',
};
