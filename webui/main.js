/**
 * Joins the parts. The order is all that matters here: what the first screen needs comes first, everything that talks
 * to a network or to the worker comes after it is painted.
 */

/** @import { MakeScreen, Screen } from "./app/types.js" */
/** @import { Place, View } from "./app/router.js" */

import { createApp } from "./app/app.js";
import { applyPreferences, readPreferences } from "./app/preferences.js";
import { parseAddress, parseInvitation } from "./app/router.js";
import { words } from "./app/words.js";
import { element } from "./dom/element.js";
import { createStore } from "./storage/store.js";

/** @type {Record<View, () => Promise<MakeScreen>>} each is fetched when it is first shown */
const SCREENS = {
  cars: async () => (await import("./screens/cars.js")).CarsScreen,
  car: async () => (await import("./screens/car.js")).CarScreen,
  plan: async () => (await import("./screens/plan.js")).PlanScreen,
  work: async () => (await import("./screens/work.js")).WorkScreen,
  open: async () => (await import("./screens/open.js")).OpenScreen,
  record: async () => (await import("./screens/record.js")).RecordScreen,
  due: async () => (await import("./screens/due.js")).DueScreen,
  phone: async () => (await import("./screens/phone.js")).PhoneScreen,
  garage: async () => (await import("./screens/garage.js")).GarageScreen,
  house: async () => (await import("./screens/house.js")).HouseScreen,
  "let-in": async () => (await import("./screens/let-in.js")).LetInScreen,
};

/** Screens that speak of the owner's own cars; the others do without what reads them. @type {Set<View>} */
const OF_CARS = new Set(["cars", "car", "plan", "house", "due"]);

/** Screens of one step or of what is open now: never those that they were when one left. @type {Set<View>} */
const AT_TOP = new Set(["work", "open"]);

const stage = /** @type {HTMLElement} */ (document.getElementById("screen"));
const REOPEN_AFTER_MS = 5_000;

/** @type {Screen | null} */
let screen = null;
let shown = "";
/** @type {Promise<void> | null} */
let showing = null;
let isLettingIn = false;
/** Until it is known where an interrupted visit is taken up, nothing of it is shown. */
let hasResumed = false;
/** @type {(() => void) | null} */
let updateBars = null;
/** @type {ReturnType<typeof import("./dom/keep-scroll.js").keepScroll> | null} */
let scroll = null;

/** @type {ReturnType<typeof createStore> | undefined} */
let store;
const { app, inside } = createApp({ makeStore: (options) => (store = createStore(options)) });
// For whoever keeps a server or a test: what the screens know, from the console.
Reflect.set(globalThis, "fillfirst", app);

app.subscribe(() => {
  if (screen) screen.update();
  else if (hasResumed || app.catalog === null) void show();
  updateBars?.();
});
addEventListener("hashchange", () => {
  const invitation = takeInvitation();
  void (invitation ? letIn(invitation) : show());
});

void start();

async function start() {
  applyPreferences(readPreferences());
  const invitation = takeInvitation();
  isLettingIn = invitation !== null;
  const cameTo = location.hash;
  void SCREENS[guessView()]().catch(() => {}); // comes while the database opens
  await open();
  if (location.hash === cameTo) await resume(); // else a visit was just begun, in a version that had to come first
  hasResumed = true;
  await show();
  await new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve)));
  await connect(invitation);
}

/** The one-time code in the address, if there is one; it must not stay in the history. @returns {string | null} */
function takeInvitation() {
  const invitation = parseInvitation(location.hash);
  if (invitation) history.replaceState(null, "", location.pathname);
  return invitation;
}

/** @param {string} invitation */
async function letIn(invitation) {
  await app.pair(invitation).catch((error) => console.warn("The invitation was not taken.", error));
  isLettingIn = false;
  await show();
}

/** The screen that will most likely be first. @returns {View} */
function guessView() {
  const { view } = parseAddress(location.hash);
  return view === "work" ? "open" : view;
}

/** Open the database; while it refuses, say so and go on trying. */
async function open() {
  try {
    await inside.open();
  } catch (error) {
    console.warn("The database did not open.", error);
    setTimeout(() => void open(), REOPEN_AFTER_MS);
  }
}

/** An app that starts in the middle of a visit shows first what is open on the car, also where a step was on screen. */
async function resume() {
  const { view, visit: named } = parseAddress(location.hash);
  const visit = view === "work" ? named : location.hash === "" ? app.me.openVisits.at(-1) : undefined;
  if (!visit) return;
  // Back from the camera, which had the page ended: the person left this step a moment ago and knows the car.
  const isBack = localStorage.getItem("camera") !== null && (await import("./device/camera.js")).cameraLost(visit) !== null;
  history.replaceState(null, "", `#/${isBack ? "work" : "open"}/${visit}`);
}

/** Show the screen that the address names, once whatever is being shown is done. */
function show() {
  const mine = (showing ?? Promise.resolve()).then(showAddress).catch((error) => showNote(String(error)));
  showing = mine;
  return mine;
}

async function showAddress() {
  const address = location.hash;
  const place = findPlace(parseAddress(address));
  const key = JSON.stringify(place);
  if (screen && key === shown) return;
  if (!place) return showNote(app.storage.trouble ? words.bars.lifeboat : words.app.opening);
  const [makeScreen] = await Promise.all([
    SCREENS[place.view](),
    place.visit ? app.loadVisit(place.visit) : null,
    OF_CARS.has(place.view) ? app.loadGarage().catch((error) => console.warn("The cars did not load.", error)) : null,
  ]);
  if (address !== location.hash) return; // a person was faster
  if (place.visit && !app.visit(place.visit)) return showNote(words.errors.noCatalog, element("a", { class: "second", href: "#/cars" }, words.open.cars));
  leave();
  scroll?.leave();
  screen = makeScreen(app, { car: place.car, visit: place.visit });
  shown = key;
  screen.update();
  stage.replaceChildren(screen.root);
  if (scroll) scroll.arrive(key, AT_TOP.has(place.view));
  else scrollTo(0, 0);
}

/** @param {Place} place @returns {Place | null} null while this phone has nothing to show yet */
function findPlace(place) {
  if (app.catalog !== null || place.view === "let-in") return place;
  if (app.me.paired || isLettingIn || app.storage.trouble) return null;
  return { view: "let-in", car: "", visit: "" };
}

/** @param {string} text @param {Element[]} ways where to go from here */
function showNote(text, ...ways) {
  leave();
  stage.replaceChildren(element("div", { class: "note" }, element("p", { role: "status" }, text), ...ways));
}

function leave() {
  screen?.dispose?.();
  screen = null;
  shown = "";
}

/** Load what the first screen did without, and begin to talk to the server. @param {string | null} invitation */
async function connect(invitation) {
  if (!store) return;
  const [{ createLoop }, { createServer }, { createUpdate }, { Bars }, { watchTimers }, { keepFocus }, { keepScroll }] = await Promise.all([
    import("./sync/loop.js"),
    import("./sync/server.js"),
    import("./app/update.js"),
    import("./parts/frame/bars.js"),
    import("./app/bell.js"),
    import("./dom/keep-focus.js"),
    import("./dom/keep-scroll.js"),
  ]);
  const bars = Bars(app);
  document.getElementById("bars")?.replaceChildren(bars.root);
  updateBars = bars.update;
  bars.update();
  watchTimers(app);
  scroll = keepScroll(stage, shown);
  keepFocus(stage, ".foot-slot button", "h1");

  const update = createUpdate({ onChange: () => inside.showUpdate(update.isReady), isHealthy: () => screen !== null });
  const loop = createLoop(store, createServer(), { onChange: inside.showSync, onNews: (news) => void inside.showNews(news) });
  inside.attach(loop, update);
  if (invitation) await letIn(invitation);
  await loop.start();
  inside.showChange();
  await update.start().catch((error) => console.warn("The worker was not registered.", error));
}
