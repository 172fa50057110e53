/** This phone: how it stands with its server, how its person likes it, what it keeps, and which version runs. */

/** @import { App, Screen } from "../app/types.js" */

import { element } from "../dom/element.js";
import { words as common } from "../app/words.js";
import { phone as words } from "../app/words/phone.js";
import { findVoice } from "../device/voice.js";
import { ring, unlockSound } from "../device/sound.js";
import { OneOf, YesNo } from "../parts/phone/choices.js";
import { InstallHint } from "../parts/phone/install.js";
import { saveUnsent } from "../parts/phone/save.js";
import { StorageState } from "../parts/phone/storage.js";
import { Button } from "../parts/controls/press.js";
import { timeText } from "../parts/texts/reading-words.js";
import { UnitChoice } from "../parts/phone/unit-choice.js";

// Less is what two clocks that are set by hand differ by.
const CLOCK_TOLERANCE_MS = 60_000;

/** @param {App} app @returns {Screen} */
export function PhoneScreen(app) {
  const heading = element("h1", { tabindex: "-1" }, words.title);
  const sections = [ServerState(app), Wishes(app), StorageState(app), InstallHint(app), VersionState(app)];
  const root = element(
    "div",
    { class: "page phone-page" },
    element("header", {}, Button({ class: "plain" }, () => app.go("#/cars"), words.toCars)),
    element("div", { class: "content" }, heading, ...sections.map((section) => section.root)),
  );
  document.title = words.documentTitle;
  requestAnimationFrame(() => heading.focus({ preventScroll: true }));
  return { root, update: () => sections.forEach((section) => section.update()) };
}

/** @param {App} app */
function ServerState(app) {
  const state = element("p", { role: "status" });
  const waits = element("p", {});
  const clock = element("p", {});
  const now = Button({ class: "second" }, () => app.sync.now(), words.sendNow);
  const letIn = Button({ class: "second" }, () => app.go("#/let-in"), words.letIn);
  const save = Button({ class: "second" }, saveFile, words.saveFile);
  const saved = element("p", { class: "quiet", role: "status" }, words.saveFileSays);
  const root = element("section", {}, element("h2", {}, words.server), state, waits, clock, now, letIn, save, saved);

  async function saveFile() {
    saved.textContent = (await saveUnsent(app)) ? words.saved : words.savedInPart;
  }

  function update() {
    const { state: how, waiting, waitingPhotos, lastAt, clockOffset_ms, refusals } = app.sync;
    const when = lastAt === null ? common.phone.never : common.phone.last(timeText(lastAt));
    const said = [common.phone.states[how], when].join(" ");
    if (state.textContent !== said) state.textContent = said;
    waits.textContent = words.waits(Math.max(0, waiting - waitingPhotos), waitingPhotos);
    const off_min = Math.round(Math.abs(clockOffset_ms) / 60_000);
    clock.hidden = Math.abs(clockOffset_ms) < CLOCK_TOLERANCE_MS;
    clock.textContent = words.clock(common.timers.span(off_min * 60), clockOffset_ms < 0);
    now.hidden = how === "unpaired";
    letIn.hidden = how !== "unpaired";
    const hasNone = waiting === 0 && refusals.length === 0 && app.storage.lifeboat === 0;
    save.hidden = saved.hidden = hasNone;
  }
  return { root, update };
}

/** What holds for this phone and its person; each choice counts at once. @param {App} app */
function Wishes(app) {
  const { theme, hand, sound, readAloud, tapAnywhere } = app.preferences;
  const heard = element("p", { class: "quiet", role: "status" });
  const tone = Button({ class: "second" }, playTone, words.tryTone);
  const aloud = YesNo({ name: "readAloud", title: words.readAloud, says: words.readAloudSays, isOn: readAloud, onChange: (isOn) => app.prefer({ readAloud: isOn }) });
  aloud.hidden = true;
  void findVoice().then((voice) => (aloud.hidden = voice === null));
  const root = element(
    "section",
    {},
    element("h2", {}, words.hands),
    OneOf({ name: "light", title: words.light, choices: words.lights, chosen: theme, onChoose: (light) => app.prefer({ theme: light }) }),
    UnitChoice(app),
    OneOf({ name: "hand", title: words.hand, choices: words.handsOf, chosen: hand, onChoose: (side) => app.prefer({ hand: side }) }),
    YesNo({ name: "sound", title: words.sound, says: words.soundSays, isOn: sound, onChange: (isOn) => app.prefer({ sound: isOn }) }),
    tone,
    heard,
    aloud,
    YesNo({ name: "tapAnywhere", title: words.tapAnywhere, says: words.tapAnywhereSays, isOn: tapAnywhere, onChange: (isOn) => app.prefer({ tapAnywhere: isOn }) }),
  );

  async function playTone() {
    await unlockSound();
    heard.textContent = (await ring()) ? words.toneHeard : words.toneMissing;
  }

  return { root, update: () => void (tone.hidden = heard.hidden = !app.preferences.sound) };
}

/** @param {App} app */
function VersionState(app) {
  const version = element("p", {});
  const update = element("p", { role: "status" });
  const take = Button({ class: "second" }, () => app.update.take(), words.takeUpdate);
  const root = element("section", {}, element("h2", {}, words.version), version, update, take);

  function show() {
    const { ready } = app.update;
    const canTake = ready && app.me.openVisits.length === 0;
    version.textContent = words.versionIs(ownVersion(), (app.catalogHash ?? "–").slice(0, 8));
    update.textContent = ready ? (canTake ? words.updateReady : words.updateWaits) : words.upToDate;
    take.hidden = !canTake;
  }
  return { root, update: show };
}

/** The address of every module carries the version that it belongs to. */
function ownVersion() {
  return /\/v\/([^/]+)\//.exec(import.meta.url)?.[1]?.slice(0, 8) ?? "–";
}
