/**
 * The photos of a step, small; one fills the sheet when it is pressed. Pictures are read as they come into sight and
 * let go when the sheet closes, so that hundreds cost no more than those on the screen.
 */

/** @import { App } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { Button } from "../controls/press.js";
import { openSheet } from "../controls/sheet.js";

/**
 * @param {App} app
 * @param {string[]} photos sha256 of each, the oldest first
 * @param {() => void} onAnother
 */
export function openPhotoSheet(app, photos, onAnother) {
  const list = PhotoList(app, photos);
  const another = Button({ class: "action" }, takeAnother, words.work.photoAnother);
  const sheet = openSheet(words.work.photos(photos.length), [list.root], [another]);
  sheet.addEventListener("close", list.dispose);

  function takeAnother() {
    sheet.close();
    onAnother();
  }
}

/** @param {App} app @param {string[]} photos */
export function PhotoList(app, photos) {
  /** @type {Set<string>} */
  const addresses = new Set();
  const sight = new IntersectionObserver(showSeen);
  const items = photos.map((sha256, index) => Thumbnail(sha256, index));
  const large = element("img", { class: "photo-large", alt: words.work.photoLarge, hidden: true });
  const root = element("div", { class: "photo-list" }, large, element("ul", {}, ...items));

  /** @param {string} sha256 @param {number} index */
  function Thumbnail(sha256, index) {
    const image = element("img", { alt: "", "data-sha256": sha256 });
    sight.observe(image);
    return element("li", {}, Button({ class: "photo-small", label: words.work.photoShow(index + 1, photos.length) }, () => showLarge(sha256), image));
  }

  /** @param {IntersectionObserverEntry[]} entries */
  function showSeen(entries) {
    for (const { target, isIntersecting } of entries) {
      if (!isIntersecting || !(target instanceof HTMLImageElement)) continue;
      sight.unobserve(target);
      void app.thumbnailAddress(target.dataset.sha256 ?? "").then((address) => show(target, address));
    }
  }

  /** @param {HTMLImageElement} image @param {string} address */
  function show(image, address) {
    image.src = address;
    if (address.startsWith("blob:")) addresses.add(address);
  }

  /** @param {string} sha256 */
  async function showLarge(sha256) {
    const last = large.src;
    show(large, await app.photoAddress(sha256));
    large.hidden = false;
    large.scrollIntoView({ block: "nearest" });
    letGo(last);
  }

  /** @param {string} address */
  function letGo(address) {
    if (addresses.delete(address)) URL.revokeObjectURL(address);
  }

  return {
    root,
    dispose() {
      sight.disconnect();
      for (const address of [...addresses]) letGo(address);
    },
  };
}
