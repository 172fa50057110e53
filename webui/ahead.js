/**
 * Asks for the modules of the screen that will most likely be first while the app's own are still on their way: found one
 * import after another, they would come in three more turns. It runs as soon as it is here and imports nothing.
 */

const KEPT = "first-view";

/** A start in the middle of a visit shows what is open on the car, whatever was on screen before. @param {string} hash */
function viewOf(hash) {
  const view = hash.split("/")[1] ?? "";
  return view === "work" ? "open" : view;
}

/** The address of a start from the home screen names no view: the last one is the best guess. */
function guessView() {
  try {
    return viewOf(location.hash) || localStorage.getItem(KEPT) || "cars";
  } catch {
    return "cars"; // the browser keeps nothing for this page; main.js says what that means
  }
}

/** The server writes into the page what each of these views imports. @type {HTMLMetaElement | null} */
const list = document.querySelector(`meta[name="modules-of-${guessView().replace(/\W/g, "")}"]`);
for (const name of list?.content.split(" ") ?? []) {
  const link = document.createElement("link");
  link.rel = "modulepreload";
  link.href = new URL(name, import.meta.url).href;
  document.head.append(link);
}

addEventListener("visibilitychange", () => {
  try {
    if (document.visibilityState === "hidden") localStorage.setItem(KEPT, viewOf(location.hash));
  } catch {
    // Then the next start guesses worse.
  }
});

export {};
