// Keeps the screen awake while a day is shown: by the browser's own lock where the page is secure,
// else by a tiny silent moving picture, for which browsers keep a screen awake as for any video.

let lock = null;
let video = null;
let busy = false;

/** What keeps the screen awake now: 'lock', 'video' or 'nothing'. */
export function awakeBy() {
  if (lock && !lock.released) return 'lock';
  return video && !video.paused && video.readyState >= 2 ? 'video' : 'nothing';
}

async function takeLock() {
  try {
    lock = await navigator.wakeLock.request('screen');
  } catch {
    lock = null;
  }
  return Boolean(lock);
}

/** A picture that changes once a second; a still one would count as paused. */
function movingPicture() {
  const canvas = document.createElement('canvas');
  canvas.width = 16;
  canvas.height = 16;
  const brush = canvas.getContext('2d');
  let light = false;
  const paint = () => {
    light = !light;
    brush.fillStyle = light ? '#111' : '#222';
    brush.fillRect(0, 0, 16, 16);
  };
  paint();
  setInterval(paint, 1000);
  return canvas.captureStream(2);
}

async function playPicture() {
  if (!video) {
    if (!HTMLCanvasElement.prototype.captureStream) return;
    video = document.createElement('video');
    video.className = 'awake';
    video.muted = true;
    video.loop = true;
    video.playsInline = true;
    video.setAttribute('playsinline', '');
    video.setAttribute('aria-hidden', 'true');
    video.tabIndex = -1;
    video.srcObject = movingPicture();
    document.body.append(video);
  }
  await video.play().catch(() => {});
}

/** Begins, or begins again after the page was hidden; best from a touch. */
export async function keepAwake() {
  if (busy || document.visibilityState !== 'visible' || awakeBy() !== 'nothing') return;
  busy = true;
  if (!(await takeLock())) await playPicture();
  busy = false;
}
