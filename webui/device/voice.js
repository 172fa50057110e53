/**
 * Reading aloud, by a voice that lives on the phone. Others send the words to a server, and say nothing without a
 * network: without a voice of its own a phone does not offer to read.
 */

const VOICES_MS = 1500;

/** @type {Promise<SpeechSynthesisVoice | null> | null} */
let finding = null;

/** The phone's own voice for the language of the page, or null. @returns {Promise<SpeechSynthesisVoice | null>} */
export function findVoice() {
  finding ??= find();
  return finding;
}

async function find() {
  if (!("speechSynthesis" in globalThis)) return null;
  if (speechSynthesis.getVoices().length === 0) await voicesCome();
  const language = (document.documentElement.lang || "en").toLowerCase();
  const own = speechSynthesis.getVoices().filter((voice) => voice.localService && voice.lang.toLowerCase().replace("_", "-").split("-")[0] === language.split("-")[0]);
  return own.find((voice) => voice.default) ?? own[0] ?? null;
}

/** Browsers read the list of voices late, and some never say that they have. */
function voicesCome() {
  return new Promise((resolve) => {
    speechSynthesis.addEventListener("voiceschanged", resolve, { once: true });
    setTimeout(resolve, VOICES_MS);
  });
}

/** Whether anything was said since it was last told to stop: to ask the browser costs a frame's tenth each time. */
let isSaying = false;

/** Say these sentences, instead of whatever is being said. @param {string[]} sentences @returns {Promise<boolean>} false where there is no voice */
export async function say(sentences) {
  const voice = await findVoice();
  if (!voice) return false;
  speechSynthesis.cancel();
  isSaying = true;
  for (const sentence of sentences) {
    // One at a time: some phones fall silent in the middle of a long text.
    const spoken = new SpeechSynthesisUtterance(sentence);
    spoken.voice = voice;
    spoken.lang = voice.lang;
    spoken.rate = 0.95;
    speechSynthesis.speak(spoken);
  }
  return true;
}

export function stopSaying() {
  if (isSaying) speechSynthesis.cancel();
  isSaying = false;
}
