// What a page's device does that cannot be seen: the notes it plays, how it shakes, what it reads
// aloud; and a network that answers only when told to. Not for what is on screens.

/** Call before the page is opened; `of(page)` gives what the device did since. */
export async function listens(context, { voices = [] } = {}) {
  await context.addInitScript((known) => {
    const did = { notes: 0, shakes: 0, spoken: [] };
    globalThis.deviceDid = did;
    const param = () => ({
      setValueAtTime() {},
      linearRampToValueAtTime() {},
      exponentialRampToValueAtTime() {},
    });
    globalThis.AudioContext = class {
      state = 'suspended';
      currentTime = 0;
      destination = {};
      resume() {
        this.state = navigator.userActivation.hasBeenActive ? 'running' : 'suspended';
        return Promise.resolve();
      }
      createOscillator() {
        const start = () => {
          did.notes += this.state === 'running' ? 1 : 0;
        };
        return { frequency: {}, connect: (next) => next, start, stop() {} };
      }
      createGain() {
        return { gain: param(), connect: (next) => next };
      }
    };
    Object.defineProperty(navigator, 'vibrate', {
      value: () => {
        did.shakes += 1;
        return true;
      },
    });
    globalThis.SpeechSynthesisUtterance = class {
      constructor(text) {
        this.text = text;
      }
    };
    Object.defineProperty(globalThis, 'speechSynthesis', {
      value: {
        getVoices: () => known,
        speak: (words) => did.spoken.push({ text: words.text, voice: words.voice.name }),
        cancel() {},
        addEventListener() {},
        removeEventListener() {},
      },
    });
  }, voices);
}

/** What the device of a page did. */
export const deviceOf = (page) => page.evaluate(() => globalThis.deviceDid);

/** Commands of a page wait on the way until `release()`; `asked()` counts those that left. */
export async function holdsAnswers(page) {
  let open = () => {};
  let gate = Promise.resolve();
  let asked = 0;
  await page.route('**/commands', async (route) => {
    asked += 1;
    await gate;
    await route.continue();
  });
  return {
    asked: () => asked,
    hold() {
      gate = new Promise((resolve) => {
        open = resolve;
      });
    },
    release: () => open(),
  };
}
