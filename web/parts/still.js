// A part that is drawn anew only when something it shows is another than before, so that a slow
// device has little to draw. `of` lists all that it shows, compared by identity; language and
// measures are always among it. <${Still} of=${[station]}><${Box} station=${station} /><//>

import { useMemo } from '../ui.js';
import { manner } from '../core/manner.js';
import { spokenNow } from '../words/words.js';

/** Its children as they were while nothing in `of` has changed; `of` keeps its length. */
export const Still = ({ of, children }) => useMemo(() => children, [spokenNow(), manner(), ...of]);
