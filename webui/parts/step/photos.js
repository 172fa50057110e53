/** Photos of a step: the button in the row, the camera behind it, and the sheet of those taken so far. */

/** @import { App, Open } from "../../app/types.js" */
/** @import { Instance } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { cameraClosed, cameraOpened } from "../../device/camera.js";
import { Button } from "../controls/press.js";

/**
 * @param {App} app
 * @param {string} visitId
 * @param {{ current: () => Instance | null, sign: (open: Open) => { by?: string }, onTrouble: (says: string) => void }} options
 */
export function StepPhotos(app, visitId, { current, sign, onTrouble }) {
  const button = Button({ class: "second" }, press, words.work.photo);
  const camera = element("input", { type: "file", accept: "image/*", capture: "environment", hidden: true, onchange: keep, oncancel: cameraClosed, "aria-label": words.work.photo });
  /** @type {Instance | null} the step that the camera was opened for */
  let wanted = null;
  let keeping = 0;
  let count = 0;

  function press() {
    const instance = current();
    if (!instance) return;
    if (count > 0) return openSheet(instance);
    openCamera(instance);
  }

  /** @param {Instance} instance */
  function openCamera(instance) {
    wanted = instance;
    cameraOpened(visitId, instance.id);
    camera.click();
  }

  /** @param {Instance} instance */
  async function openSheet(instance) {
    const { openPhotoSheet } = await import("./photo-sheet.js");
    openPhotoSheet(app, app.visit(visitId)?.visit.photos[instance.id] ?? [], () => openCamera(instance));
  }

  async function keep() {
    const file = camera.files?.[0];
    const step = (wanted ?? current())?.id;
    camera.value = "";
    cameraClosed();
    if (!file || !step) return;
    keeping += 1;
    show();
    try {
      const open = app.visit(visitId);
      await app.addPhoto(visitId, step, file, open ? sign(open) : {});
    } catch {
      onTrouble(words.work.photoNotKept);
    } finally {
      keeping -= 1;
      show();
    }
  }

  function show() {
    const taken = count ? words.work.photos(count) : words.work.photo;
    button.textContent = keeping ? words.work.photoKeeping : taken;
  }

  /** @param {Open} open @param {Instance | null} instance @param {boolean} isAsked whether the step asks for one */
  function update(open, instance, isAsked) {
    count = instance ? (open.visit.photos[instance.id]?.length ?? 0) : 0;
    button.hidden = !instance;
    button.toggleAttribute("data-wanted", isAsked && count === 0);
    show();
  }
  return { button, camera, update };
}
