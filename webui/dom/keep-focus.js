/**
 * Where the focus goes when the button that had it is taken away or drawn anew: to the one that took its place, else to
 * the step's action, else to the heading. Left alone it falls to the page's very top, and whoever works with keys or by
 * ear begins again from there.
 */

/** @param {HTMLElement} stage what is drawn anew @param {...string} instead where to go where nothing took its place: selectors, the best first */
export function keepFocus(stage, ...instead) {
  /** @type {HTMLElement | null} */
  let last = null;
  stage.addEventListener("focusin", ({ target }) => (last = target instanceof HTMLElement ? target : null));
  new MutationObserver(mend).observe(stage, { childList: true, subtree: true, attributeFilter: ["hidden"] });
  // A sheet gives the focus back by itself, to what may have been drawn anew while it was open.
  document.addEventListener("close", mend, { capture: true });

  function mend() {
    if (!last || document.activeElement !== document.body || isThere(last)) return;
    const lost = last;
    const equal = [...stage.querySelectorAll(lost.localName)].find((one) => isThere(one) && isLike(lost, one));
    const place = equal ?? instead.flatMap((selector) => [...stage.querySelectorAll(selector)]).find(isThere);
    if (place instanceof HTMLElement) place.focus({ preventScroll: place !== equal });
  }
}

/** @param {Element} one */
function isThere(one) {
  return one.isConnected && one.checkVisibility();
}

/** @param {HTMLElement} lost @param {Element} one */
function isLike(lost, one) {
  if (lost.id) return one.id === lost.id;
  return one.className === lost.className && one.textContent === lost.textContent && one.getAttribute("aria-label") === lost.getAttribute("aria-label");
}
