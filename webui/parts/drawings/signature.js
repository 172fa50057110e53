/** A signature as it was drawn: strokes in a box of its own, so that it is the same on a phone, on paper and on a page. */

import { svg } from "../../dom/element.js";

/** Units of the path data of an `acknowledged`; server/fillfirst/records/page.py draws in the same box. */
export const BOX = { width: 1000, height: 400 };

/** @param {string} path "M12 34L56 78M…" @param {string} label what is read aloud */
export function SignatureDrawing(path, label) {
  return svg("svg", { class: "signature", viewBox: `0 0 ${BOX.width} ${BOX.height}`, role: "img", "aria-label": label }, svg("path", { d: path }));
}
