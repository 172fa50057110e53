/** All photos of a record with what they show; they are read when the list opens, and before anything is printed. */

/** @import { App, Open } from "../../app/types.js" */
/** @import { Afterwards } from "../../core/history.js" */
/** @import { Row } from "./model.js" */

import { element } from "../../dom/element.js";
import { record as words } from "../../app/words/record.js";
import { variableText } from "../texts/known.js";
import { whoMade } from "../texts/people.js";
import { FoldSection } from "../controls/fold-section.js";

/** @param {App} app @param {Open} open @param {Afterwards} after @param {Row[]} rows */
export function RecordPhotos(app, open, after, rows) {
  const told = [
    ...rows.flatMap(({ title, photos }) => photos.map((photo) => ({ ...photo, title }))),
    ...Object.entries(after.fluids).flatMap(([circuit, { label, event }]) => (label ? [{ sha256: label, title: words.labelOf(variableText(open.catalog, circuit)), who: whoMade(open, event) }] : [])),
    ...after.used_fluids.flatMap(({ receipt, place, event }) => (receipt ? [{ sha256: receipt, title: words.receiptOf(place), who: whoMade(open, event) }] : [])),
  ];
  const fold = FoldSection(words.photos);
  const pictures = told.map(({ sha256, title, who }) => ({ sha256, image: element("img", { alt: title }), says: [title, who].filter(Boolean).join(" · ") }));
  fold.update(words.photosGist(told.length), [element("ul", { class: "record-photos" }, ...pictures.map(({ image, says }) => element("li", {}, image, element("span", {}, says))))]);
  fold.root.hidden = told.length === 0;
  fold.root.addEventListener("toggle", () => fold.root.open && void load());
  /** @type {Promise<unknown> | null} */
  let loading = null;

  /** One that is neither here nor on the server in reach stays a title. */
  function load() {
    loading ??= Promise.all(
      pictures.map(async ({ sha256, image }) => {
        image.src = await app.thumbnailAddress(sha256);
        await image.decode().catch(() => {});
      }),
    );
    return loading;
  }

  function dispose() {
    for (const { image } of pictures) if (image.src.startsWith("blob:")) URL.revokeObjectURL(image.src);
  }
  return { root: fold.root, load, dispose };
}
