/**
 * A tone that is heard over an engine, made by the phone itself: no file, no network. Browsers give a page its sound
 * only after a tap, and take it away when the phone is locked; whether it can be heard now is asked, not remembered.
 */

/** Two notes that no engine idles at, three times. */
const NOTES_HZ = [880, 1320, 880, 1320, 880, 1320];
const NOTE_S = 0.22;
const GAP_S = 0.06;
/** How long a tone lasts. */
export const TONE_MS = 1000 * NOTES_HZ.length * (NOTE_S + GAP_S);
// A clock that stands still this long belongs to a context that an earlier lock has frozen.
const STILL_MS = 80;

/** @type {AudioContext | null} */
let context = null;
/** @type {GainNode | null} */
let ringing = null;

/** Whether a tone would be heard if it were played now. */
export function canBeHeard() {
  return context?.state === "running";
}

/** Call in a tap: afterwards a timer may be heard. @returns {Promise<boolean>} whether it will be */
export async function unlockSound() {
  if (!("AudioContext" in globalThis)) return false;
  context ??= new AudioContext();
  await Promise.race([context.resume().catch(() => {}), pause(500)]);
  if (!canBeHeard()) return false;
  const before = context.currentTime;
  await pause(STILL_MS);
  if (context.currentTime === before) {
    void context.close();
    context = new AudioContext();
    await Promise.race([context.resume().catch(() => {}), pause(500)]);
  }
  return canBeHeard();
}

/** @returns {Promise<boolean>} whether it was heard */
export async function ring() {
  // A browser refuses aloud to shake for somebody who has touched nothing yet.
  if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.([400, 200, 400]);
  if (!context || !(await unlockSound())) return false;
  overrideMuteSwitch(true);
  hush();
  const loudness = context.createGain();
  loudness.gain.value = 0.5;
  loudness.connect(context.destination);
  ringing = loudness;
  NOTES_HZ.forEach((frequency_hz, at) => play(/** @type {AudioContext} */ (context), loudness, frequency_hz, at * (NOTE_S + GAP_S)));
  setTimeout(() => rest(loudness), TONE_MS);
  return true;
}

/** Stop a tone that is being played. */
export function hush() {
  ringing?.disconnect();
  ringing = null;
}

/** An idle sound costs battery; the tap that starts the next timer wakes it. @param {GainNode} rung */
function rest(rung) {
  overrideMuteSwitch(false);
  if (ringing === rung || ringing === null) void context?.suspend();
}

/** @param {AudioContext} context @param {AudioNode} to @param {number} frequency_hz @param {number} after_s */
function play(context, to, frequency_hz, after_s) {
  const from = context.currentTime + after_s;
  const note = context.createOscillator();
  const swell = context.createGain();
  note.type = "triangle";
  note.frequency.value = frequency_hz;
  swell.gain.setValueAtTime(0, from);
  swell.gain.linearRampToValueAtTime(1, from + 0.02);
  swell.gain.setValueAtTime(1, from + NOTE_S - 0.03);
  swell.gain.linearRampToValueAtTime(0, from + NOTE_S);
  note.connect(swell).connect(to);
  note.start(from);
  note.stop(from + NOTE_S);
}

/** One family of phones lets its mute switch silence pages; only while a tone sounds, for it stops others' music. @param {boolean} isOn */
function overrideMuteSwitch(isOn) {
  /** @type {{ type: string } | undefined} */
  const session = Reflect.get(navigator, "audioSession");
  if (session) session.type = isOn ? "playback" : "auto";
}

/** @param {number} milliseconds */
function pause(milliseconds) {
  return new Promise((resolve) => setTimeout(resolve, milliseconds));
}
