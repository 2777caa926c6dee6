// How this device writes numbers and times and by what it measures. Pure: told once by the page,
// and again when the person changes it. Until told, as a kitchen in the United States with a clock
// of 24 hours.

const FIRST = { locale: 'en-US', halfDays: false, units: 'us', point: '.' };
let told = FIRST;

/** `{locale, halfDays, units, point}`: `units` is "us" or "metric", `point` parts decimals. */
export const manner = () => told;

/** Changes what is given and keeps the rest; without anything, all is as at first. */
export function setManner(change) {
  told = change ? { ...told, ...change } : FIRST;
}

const US_MEASURES = ['US', 'LR', 'MM'];

function regionOf(tag) {
  try {
    return new Intl.Locale(tag).maximize().region;
  } catch {
    return /-([A-Z]{2})\b/.exec(tag)?.[1];
  }
}

/** The manner of a device from its languages, `["es-MX", "en"]`, and the language spoken. */
export function mannerOf(languages, spoken) {
  const own = languages[0] ?? 'en-US';
  const region = regionOf(own);
  // A language the device does not name is written as in the device's own country.
  const abroad = region ? `${spoken}-${region}` : spoken;
  const locale = languages.find((tag) => tag.split('-')[0] === spoken) ?? abroad;
  const hours = new Intl.DateTimeFormat(own, { hour: 'numeric' }).resolvedOptions();
  const parts = new Intl.NumberFormat(locale).formatToParts(1.5);
  return {
    locale,
    halfDays: hours.hour12 === true,
    units: US_MEASURES.includes(region) ? 'us' : 'metric',
    point: parts.find(({ type }) => type === 'decimal')?.value ?? '.',
  };
}
