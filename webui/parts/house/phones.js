/** The phones of the house: each with when it was seen; behind each, what may be done with it. */

/** @import { Device, House } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { house as words } from "../../app/words/house.js";
import { words as common } from "../../app/words.js";
import { FoldSection } from "../controls/fold-section.js";
import { agoText } from "./words.js";
import { Button, HoldButton } from "../controls/press.js";
import { dayText } from "../texts/reading-words.js";
import { openSheet } from "../controls/sheet.js";

/** @param {House} house @param {(error: unknown) => void} tell */
export function PhonesSection(house, tell) {
  const fold = FoldSection(words.phones);
  let drawn = "";

  function update() {
    const { devices, me, health, keeping } = house.state;
    const key = JSON.stringify([devices, keeping?.clocks_off]);
    if (key === drawn) return;
    drawn = key;
    const [here, gone] = [devices.filter(({ revoked_at }) => !revoked_at), devices.filter(({ revoked_at }) => revoked_at)];
    const off = new Map(keeping?.clocks_off.map(({ device, offset_ms }) => [device, offset_ms]));
    const rows = here.map((device) => PhoneRow(device, { isOwn: device.id === me?.id, isOld: device.app !== null && device.app !== health?.app, off_ms: off.get(device.id) ?? 0 }));
    const left = gone.map((device) => element("li", { class: "quiet" }, `${device.name}, ${words.sentAway(dayText(device.revoked_at ?? ""))}`));
    fold.update(words.phonesGist(here.length), [element("ul", { class: "house-list" }, ...rows), ...(left.length ? [element("h3", {}, words.gone), element("ul", { class: "house-gone" }, ...left)] : [])]);
  }

  /** @param {Device} device @param {{ isOwn: boolean, isOld: boolean, off_ms: number }} more */
  function PhoneRow(device, { isOwn, isOld, off_ms }) {
    const tags = [words.roles[device.role], isOwn && words.own].filter(Boolean).map((text) => element("span", { class: "tag" }, text));
    const warnings = [isOld && words.olderApp, off_ms && words.clockOff(common.timers.span(Math.abs(off_ms) / 1_000))].filter(Boolean);
    return element(
      "li",
      {},
      Button(
        { class: "house-row" },
        () => openPhoneSheet(house, device, { isOwn, tell }),
        element("b", {}, device.name),
        element("span", { class: "tags" }, ...tags, ...warnings.map((text) => element("span", { class: "tag", "data-tone": "warning" }, text))),
        element("span", { class: "quiet" }, words.seen(agoText(device.last_seen_at))),
      ),
    );
  }
  return { root: fold.root, update };
}

/** @param {House} house @param {Device} device @param {{ isOwn: boolean, tell: (error: unknown) => void }} more */
function openPhoneSheet(house, device, { isOwn, tell }) {
  const name = NameField(device.name);
  const other = device.role === "owner" ? "helper" : "owner";
  const keep = Button({ class: "second" }, () => act(() => house.changeDevice(device.id, { name: name.value() })), words.keepName);
  const role = Button({ class: "second" }, () => act(() => house.changeDevice(device.id, { role: other })), other === "owner" ? words.makeOwner : words.makeHelper);
  const away = HoldButton({ class: "action", tone: "warning", confirm: words.sendAwayConfirm }, () => act(() => house.sendAway(device.id)), words.sendAway);
  // Its own role and its own leave are not for this list: an owner would shut themselves out by a slip.
  const others = isOwn ? [] : [element("p", { class: "quiet" }, words.roleSays[other]), role, element("p", { class: "quiet" }, words.sendAwaySays)];
  const sheet = openSheet(device.name, [name.root, keep, ...others], isOwn ? [] : [away.root]);

  /** @param {() => Promise<unknown>} action */
  async function act(action) {
    await action().then(() => sheet.close(), tell);
  }
}

/** @param {string} value */
export function NameField(value) {
  const input = element("input", { id: "device-name", type: "text", autocomplete: "off", maxlength: "60", value });
  const root = element("div", { class: "field" }, element("label", { for: "device-name" }, words.name), input, element("p", { class: "said" }, words.nameSays));
  return { root, value: () => input.value.trim() || value };
}
