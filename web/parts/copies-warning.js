// Tells the lead, while the day goes on, that no copy could be made, or that something is damaged or
// lost; asks once a minute, and shows nothing while all is well. <${CopiesWarning} app=${app} />

import { html, useEffect, useState } from '../ui.js';
import { later } from './later.js';

const ASK_EVERY_MS = 60_000;
const CopiesTold = later(() => import('./copies-told.js').then((found) => found.CopiesTold), {
  of: 'season',
});

export function CopiesWarning({ app }) {
  const [told, setTold] = useState({});
  const { lead } = app;
  useEffect(() => {
    if (!lead) return undefined;
    const ask = async () => {
      const answer = await app.get('/api/copies');
      if (answer.status === 200) setTold(answer.body);
    };
    ask();
    const asking = setInterval(ask, ASK_EVERY_MS);
    return () => clearInterval(asking);
  }, [lead]);
  return (told.trouble || told.damage || told.lost) && html`<${CopiesTold} told=${told} />`;
}
