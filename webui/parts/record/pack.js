/** What was on the pack that went in: asked where it is poured, at the end of the visit, or any time after. */

/** @import { App, Open } from "../../app/types.js" */
/** @import { Afterwards } from "../../core/history.js" */

import { record as words } from "../../app/words/record.js";
import { Button } from "../controls/press.js";
import { PhotoField, TextField } from "../controls/record-field.js";
import { openSheet } from "../controls/sheet.js";
import { Trouble } from "../controls/trouble.js";
import { recordWith, signed } from "./noting.js";

/** @typedef {Afterwards["fluids"][string]} Noted */

/** In one line; "" where nothing was noted. @param {Noted | undefined} noted */
export function packText(noted) {
  return noted ? [noted.product, noted.batch && words.batch(noted.batch), noted.label && words.labelTaken].filter(Boolean).join(" · ") : "";
}

/**
 * @param {App} app
 * @param {Open} open
 * @param {{ circuit: string, title: string }} fluid
 * @param {Noted | undefined} known
 */
export function openPackSheet(app, open, { circuit, title }, known) {
  const product = TextField({ id: "pack-product", label: words.product, value: known?.product ?? "" });
  const batch = TextField({ id: "pack-batch", label: words.batchLabel, says: words.batchSays, value: known?.batch ?? "" });
  const label = PhotoField(words.label);
  const trouble = Trouble();
  const sheet = openSheet(words.packTitle(title), [product.root, batch.root, label.root, trouble.root], [Button({ class: "action" }, keep, words.keep)]);

  async function keep() {
    const [name, number] = [product.read(), batch.read()];
    if (!name && !number && !label.read()) return sheet.close();
    const payload = { circuit, ...(name ? { product: name } : {}), ...(number ? { batch: number } : {}), ...signed(app, open) };
    await trouble.attempt(recordWith(app, open.id, "fluid-noted", payload, "label", label.read()), () => sheet.close());
  }
}
