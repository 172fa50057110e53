/**
 * Where one was on a long page, for the way back to it: by the browser's own button as by the page's. A place that is
 * come to anew begins at its top.
 */

/** @param {HTMLElement} stage @param {string} first the place that is shown */
export function keepScroll(stage, first) {
  // The browser would scroll before the place that it comes back to is drawn.
  history.scrollRestoration = "manual";
  const trail = [first];
  /** @type {Map<string, number>} pixels from the top, by place */
  const left = new Map();
  let wanted_px = 0;
  // Some of a page comes after it is shown; until a person moves it, it is still on its way back.
  const grown = new ResizeObserver(() => scrollTo(0, wanted_px));
  for (const kind of ["pointerdown", "wheel", "keydown"]) addEventListener(kind, () => grown.disconnect(), { capture: true, passive: true });

  /** Before the next place is drawn. */
  function leave() {
    grown.disconnect();
    left.set(trail.at(-1) ?? "", scrollY);
  }

  /** @param {string} place what is drawn now @param {boolean} isFresh it always begins at its top */
  function arrive(place, isFresh) {
    const at = trail.lastIndexOf(place);
    wanted_px = at < 0 || isFresh ? 0 : (left.get(place) ?? 0);
    trail.length = at < 0 ? trail.length : at;
    trail.push(place);
    scrollTo(0, wanted_px);
    if (wanted_px > 0) grown.observe(stage);
  }
  return { leave, arrive };
}
