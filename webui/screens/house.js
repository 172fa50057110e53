/** The house: its server, and the phones it let in. An owner keeps it from here; a helper sees how it stands. */

/** @import { App, House, Screen } from "../app/types.js" */

import { element } from "../dom/element.js";
import { house as words } from "../app/words/house.js";
import { LetInSection } from "../parts/house/code.js";
import { LinksSection } from "../parts/house/links.js";
import { NameField, PhonesSection } from "../parts/house/phones.js";
import { ServerSection } from "../parts/house/server.js";
import { Button, HoldButton } from "../parts/controls/press.js";
import { openSheet } from "../parts/controls/sheet.js";

/** How often it is asked again while a backup is being made. */
const BACKUP_LOOK_MS = 2_000;

/** @param {App} app @returns {Screen} */
export function HouseScreen(app) {
  const heading = element("h1", { tabindex: "-1" }, words.title);
  const problem = element("p", { class: "problem", role: "alert" });
  const inside = element("div", { class: "house-inside" }, element("p", { class: "quiet", role: "status" }, words.asking));
  const root = element(
    "div",
    { class: "page house-page" },
    element("header", {}, Button({ class: "plain" }, () => app.go("#/cars"), words.toCars)),
    element("div", { class: "content" }, heading, problem, inside),
  );
  document.title = words.documentTitle;
  requestAnimationFrame(() => heading.focus({ preventScroll: true }));

  /** @type {House | null} */
  let house = null;
  /** @type {{ key: string, update: () => void } | null} */
  let shown = null;
  /** @type {number | undefined} */
  let timer;
  let isGone = false;
  void app.loadHouse().then((loaded) => {
    house = loaded;
    return house.look();
  });

  /** @param {unknown} error */
  function tell(error) {
    const next = error instanceof Error ? Reflect.get(error, "next") : "";
    problem.textContent = [error instanceof Error ? error.message : words.failed, next].filter(Boolean).join(" ");
  }

  function update() {
    if (!house || isGone || house.state.standing === "asking") return;
    const { standing, me, keeping } = house.state;
    const key = `${standing} ${me?.role}`;
    if (shown?.key !== key) {
      problem.textContent = "";
      const sections = standing === "here" ? hereSections(app, house, tell) : [AbsentSection(app, house)];
      inside.replaceChildren(...sections.map((section) => section.root));
      shown = { key, update: () => sections.forEach((section) => section.update()) };
    }
    shown.update();
    clearTimeout(timer);
    if (keeping?.backup_is_asked) timer = setTimeout(house.look, BACKUP_LOOK_MS);
  }

  return {
    root,
    update,
    dispose() {
      isGone = true;
      clearTimeout(timer);
    },
  };
}

/** @param {App} app @param {House} house @param {(error: unknown) => void} tell */
function hereSections(app, house, tell) {
  const forOwners = () => [{ root: LetInSection(house, tell), update() {} }, FoldsSection([PhonesSection(house, tell), LinksSection(app, house, tell)])];
  const isOwner = house.state.me?.role === "owner";
  return [MineSection(house, tell, isOwner), ...(isOwner ? forOwners() : []), ServerSection(house, tell), LeaveSection(app, house, tell)];
}

/** @param {{ root: HTMLElement, update: () => void }[]} folds */
function FoldsSection(folds) {
  return { root: element("div", { class: "folds" }, ...folds.map((fold) => fold.root)), update: () => folds.forEach((fold) => fold.update()) };
}

/** The server does not answer, or does not know this phone. @param {App} app @param {House} house */
function AbsentSection(app, house) {
  const isUnknown = house.state.standing === "unknown";
  const way = isUnknown ? Button({ class: "action" }, () => app.go("#/let-in"), words.letInAgain) : Button({ class: "action" }, () => house.look(), words.again);
  const root = element("section", { class: "house-absent" }, element("h2", {}, isUnknown ? words.unknown : words.away), element("p", {}, isUnknown ? words.unknownSays : words.awaySays), way);
  return { root, update() {} };
}

/** @param {House} house @param {(error: unknown) => void} tell @param {boolean} canRename */
function MineSection(house, tell, canRename) {
  const name = element("b", {});
  const role = element("span", { class: "tag" });
  const says = element("p", { class: "quiet" });
  const rename = Button({ class: "second" }, openRename, words.rename);
  rename.hidden = !canRename;
  const root = element("section", {}, element("h2", {}, words.mine), element("p", { class: "house-mine" }, name, role), says, rename);

  function openRename() {
    const field = NameField(house.state.me?.name ?? "");
    const keep = Button({ class: "action" }, () => house.changeDevice(house.state.me?.id ?? 0, { name: field.value() }).then(() => sheet.close(), tell), words.keepName);
    const sheet = openSheet(words.mine, [field.root], [keep]);
  }

  function update() {
    const { me } = house.state;
    if (!me) return;
    name.textContent = me.name;
    role.textContent = words.roles[me.role];
    says.textContent = words.roleSays[me.role];
  }
  return { root, update };
}

/** @param {App} app @param {House} house @param {(error: unknown) => void} tell */
function LeaveSection(app, house, tell) {
  const waiting = element("p", { class: "problem" });
  const hold = HoldButton({ class: "action", tone: "warning", confirm: words.leaveConfirm }, () => house.leave().catch(tell), words.leaveDoes);
  const root = element("section", {}, element("h2", {}, words.leave), element("p", {}, words.leaveSays), waiting, hold.root);
  return {
    root,
    update() {
      waiting.hidden = app.sync.waiting === 0;
      waiting.textContent = words.leaveWaiting(app.sync.waiting);
    },
  };
}
