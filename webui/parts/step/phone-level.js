/**
 * The phone laid on the car as a level: both axes at once, set against a surface that counts as level, and what it
 * shows kept as the step's two readings. A phone without the sensor says so, and the keys are there as always.
 */

/** @import { StepContext } from "./context.js" */
/** @import { Tilt, Up } from "../../core/tilt.js" */

import { levelWords as say } from "../../app/words/level.js";
import { words } from "../../app/words.js";
import { meanUp, tiltOf, upOf, zeroOf } from "../../core/tilt.js";
import { fromSI, quantityText, toSI, unitOf } from "../../core/units.js";
import { askToFeel, feelTilt, keepPlug, keepZero, readPlug, readZero } from "../../device/level.js";
import { element } from "../../dom/element.js";
import { LevelTilt } from "../numbers/level-tilt.js";
import { Button } from "../controls/press.js";
import { dayText } from "../texts/reading-words.js";

/** Less is how a hand on the car trembles. */
const STILL_DEGREES = 0.4;
/** What a phone's sensor is worth. */
const ROUND_DEGREES = 0.1;

/**
 * @param {StepContext} context
 * @param {{ names: { lengthwise: string, crosswise: string }, onLeave: () => void }} options
 */
export function PhoneLevel(context, { names, onLeave }) {
  const { catalog, car } = context.open();
  const tilt = LevelTilt(catalog, { plug: readPlug(car.id), onPlug: changePlug });
  const state = element("p", { class: "quiet", role: "status" }, say.listening);
  const zeroSays = element("p", { class: "quiet" });
  const here = Button({ class: "second" }, zeroHere, say.zeroHere);
  const turned = Button({ class: "second" }, zeroTurned, say.zeroTurn);
  const leave = Button({ class: "plain" }, onLeave, words.quantity.leave);
  const keep = Button({ class: "action" }, keepBoth, say.keepEmpty);
  const panel = element("div", { class: "panel" }, element("p", {}, say.lay), tilt.root, state, zeroSays, element("div", { class: "row" }, here, turned), leave);
  /** @type {Up | null} */
  let up = null;
  /** @type {Up | null} where "here is level" was said last, until it is turned */
  let first = null;
  let zero = readZero();
  let isStill = false;
  let stop = () => {};
  turned.hidden = true;
  void begin();
  show();

  async function begin() {
    if (!(await askToFeel())) return fall(say.refused);
    stop = feelTilt(({ isSilent, leans }) => {
      if (isSilent) return fall(say.none);
      here.hidden = zeroSays.hidden = false; // one that was slow to speak
      up = meanUp(leans.map(({ beta, gamma }) => upOf(beta, gamma)));
      isStill = [leans.map(({ beta }) => beta), leans.map(({ gamma }) => gamma)].every((all) => Math.max(...all) - Math.min(...all) < STILL_DEGREES);
      show();
    });
  }

  /** @param {string} why */
  function fall(why) {
    state.textContent = why;
    here.hidden = zeroSays.hidden = true;
  }

  function changePlug(/** @type {import("../../device/level.js").Plug | null} */ plug) {
    keepPlug(car.id, plug);
  }

  function zeroHere() {
    if (!up) return;
    first = up;
    setZero(up);
    zeroSays.textContent = say.turnSays;
    turned.hidden = false;
  }

  function zeroTurned() {
    if (!up || !first) return;
    setZero(zeroOf(first, up));
    first = null;
    turned.hidden = true;
    zeroSays.textContent = say.zeroedTurned;
  }

  /** @param {Up} now */
  function setZero(now) {
    keepZero(now);
    zero = readZero();
    show();
  }

  /** @returns {Tilt | null} */
  function felt() {
    return up && tiltOf(up, zero?.zero);
  }

  /** Radians to what is written down: the sensor gives no more. @param {number} angle */
  function round(angle) {
    const unit = unitOf(catalog, "degree");
    const degrees = Math.round(fromSI(unit, angle) / ROUND_DEGREES) * ROUND_DEGREES;
    return { typed: degrees.toFixed(1), value: toSI(unit, Number(degrees.toFixed(1))), unit: "degree" };
  }

  function show() {
    const now = felt();
    tilt.update(now ?? { lengthwise: null, crosswise: null });
    if (!zeroSays.textContent) zeroSays.textContent = zero ? say.zeroedAt(dayText(zero.at_ms)) : say.notZeroed;
    if (now) state.textContent = isStill ? "" : say.trembles;
    keep.setAttribute("aria-disabled", String(!now || !isStill));
    const [lengthwise, crosswise] = now ? [now.lengthwise, now.crosswise].map((angle) => quantityText(catalog, "degree", round(angle).value).text) : [];
    keep.textContent = lengthwise && crosswise ? say.keep(lengthwise, crosswise) : say.keepEmpty;
  }

  async function keepBoth() {
    const now = felt();
    if (!now) return;
    for (const [name, angle] of /** @type {[string, number][]} */ ([[names.lengthwise, now.lengthwise], [names.crosswise, now.crosswise]])) {
      const event = await context.record("reading-taken", { step: context.instance.id, reading: name, ...round(angle) });
      if (!event) return;
    }
    onLeave();
  }

  return { panel, foot: keep, dispose: () => stop() };
}
