/** Links that show one record, or the calendar, to whoever holds them: made, listed, taken back. */

/** @import { App, House, Link, Summary } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { house as words } from "../../app/words/house.js";
import { FoldSection } from "../controls/fold-section.js";
import { agoText } from "./words.js";
import { Button, HoldButton } from "../controls/press.js";
import { dayText } from "../texts/reading-words.js";
import { openSheet } from "../controls/sheet.js";

/** @param {App} app @param {House} house @param {(error: unknown) => void} tell */
export function LinksSection(app, house, tell) {
  const fold = FoldSection(words.links);
  let drawn = "";

  function update() {
    const links = house.state.links.filter(({ revoked_at }) => !revoked_at);
    const key = JSON.stringify(links);
    if (key === drawn) return;
    drawn = key;
    const rows = links.map((link) => element("li", {}, LinkRow(link)));
    const share = Button({ class: "second" }, () => openShareSheet(app, house, tell), words.share);
    fold.update(words.linksGist(links.length), [element("p", {}, words.linksSay), element("ul", { class: "house-list" }, ...rows), share]);
  }

  /** @param {Link} link */
  function LinkRow(link) {
    const what = `${words.linkOf[link.opens]}: ${nameSubject(app, link)}`;
    const seen = link.last_seen_at ? words.opened(agoText(link.last_seen_at)) : words.neverSeen;
    return Button({ class: "house-row" }, () => openLinkSheet(house, link, what, tell), element("b", {}, link.name), element("span", {}, what), element("span", { class: "quiet" }, seen));
  }
  return { root: fold.root, update };
}

/** @param {App} app @param {Link} link */
function nameSubject(app, { opens, subject }) {
  if (opens === "calendar") return app.cars().find(({ id }) => id === subject)?.title ?? (subject || words.allCars);
  const visit = app.visits().find(({ id }) => id === subject);
  return visit ? nameVisit(visit) : subject;
}

/** @param {Summary} visit */
function nameVisit({ car, closedAt }) {
  return [car.title, closedAt && dayText(closedAt)].filter(Boolean).join(", ");
}

/** @param {House} house @param {Link} link @param {string} what @param {(error: unknown) => void} tell */
function openLinkSheet(house, link, what, tell) {
  const back = HoldButton({ class: "action", tone: "warning", confirm: words.takeBackConfirm }, () => house.takeBack(link.id).then(() => sheet.close(), tell), words.takeBack);
  const sheet = openSheet(link.name, [element("p", {}, what), element("p", { class: "quiet" }, words.takeBackSays)], [back.root]);
}

/** @param {App} app @param {House} house @param {(error: unknown) => void} tell */
function openShareSheet(app, house, tell) {
  const closed = app.visits().filter(({ closedAt }) => closedAt !== null);
  if (closed.length === 0) return void openSheet(words.share, [element("p", {}, words.noVisits)]);
  const name = element("input", { id: "link-for", type: "text", autocomplete: "off", maxlength: "60" });
  const choices = closed.map((visit, at) => {
    const input = element("input", { type: "radio", name: "visit", value: visit.id, checked: at === 0 });
    return element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, nameVisit(visit)));
  });
  const make = Button({ class: "action" }, share, words.makeLink);
  const sheet = openSheet(
    words.share,
    [
      element("fieldset", { class: "field" }, element("legend", {}, words.shareOf), element("div", { class: "choices" }, ...choices)),
      element("div", { class: "field" }, element("label", { for: "link-for" }, words.shareFor), name, element("p", { class: "said" }, words.shareForSays)),
    ],
    [make],
  );

  async function share() {
    const subject = /** @type {HTMLInputElement | null} */ (sheet.querySelector("[name=visit]:checked"))?.value ?? "";
    await house.makeLink({ opens: "record", subject, name: name.value }).then((address) => {
      sheet.close();
      openMadeLink(address);
    }, tell);
  }
}

/** An address that cannot be asked for again, with the ways to pass it on. @param {string} address */
export function openMadeLink(address) {
  const told = element("p", { class: "quiet", role: "status" });
  const pass = Button({ class: "action" }, () => navigator.share({ url: address }).catch(() => {}), words.passOn);
  pass.hidden = !navigator.canShare?.({ url: address });
  const copy = Button({ class: pass.hidden ? "action" : "second" }, copyIt, words.copy);
  openSheet(words.linkMade, [element("p", { class: "address" }, address), told], [pass, copy]);

  async function copyIt() {
    told.textContent = await navigator.clipboard.writeText(address).then(() => words.copied, () => words.notCopied);
  }
}
