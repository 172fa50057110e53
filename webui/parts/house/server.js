/** How the server is kept, in plain words: its last backup, its certificate, its room. */

/** @import { House, Keeping } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { house as words } from "../../app/words/house.js";
import { formatNumber } from "../../core/units.js";
import { agoText } from "./words.js";
import { NoteMark, TickMark, WarningMark } from "../drawings/marks.js";
import { sizeText } from "../phone/storage.js";
import { Button } from "../controls/press.js";

/** A certificate is renewed at a third of its 397 days; less than this means that nobody renews it. */
const CERTIFICATE_SOON_DAYS = 30;
const ROOM_TIGHT_BYTES = 500e6;

/** @param {House} house @param {(error: unknown) => void} tell */
export function ServerSection(house, tell) {
  const facts = element("div", { class: "house-facts" });
  const backUp = Button({ class: "second" }, () => house.backUp().catch(tell), words.backUp);
  const root = element("section", {}, element("h2", {}, words.server), facts, backUp);

  function update() {
    const { health, keeping } = house.state;
    backUp.hidden = keeping === null;
    backUp.setAttribute("aria-disabled", String(keeping?.backup_is_asked ?? false));
    if (!health) return;
    const { certificate_days: days } = health;
    facts.replaceChildren(
      ...(keeping ? [BackupLine(keeping)] : []),
      ...(days === null ? [] : [StandingLine(words.certificate, [words.certificateDays(days), days < CERTIFICATE_SOON_DAYS && days >= 0 && words.certificateSoon], days >= CERTIFICATE_SOON_DAYS)]),
      ...(keeping ? [RoomLine(keeping), StandingLine(words.entries, [words.entriesHeld(formatNumber(keeping.events, 0))], null)] : []),
      ...(health.own_specs === "refused" ? [StandingLine(words.ownSpecs, [words.ownSpecsRefused], false)] : []),
      StandingLine(words.version, [health.version], null),
    );
  }
  return { root, update };
}

/**
 * One fact, what there is to say of it, and whether it is well.
 *
 * @param {string} title @param {(string | false | null)[]} says @param {boolean | null} isWell null: it is neither
 */
function StandingLine(title, says, isWell) {
  const mark = isWell === null ? NoteMark() : isWell ? TickMark() : WarningMark();
  return element("p", { class: "standing-line" }, mark, element("span", {}, element("b", {}, title), " ", says.filter(Boolean).join(" ")));
}

/** @param {Keeping} keeping */
function BackupLine(keeping) {
  const { backup, backup_is_asked, backup_is_due, backup_trouble, backups_are_sealed, backups_are_apart, server_now } = keeping;
  const isGood = backup !== null && !backup_is_due && !backup_trouble;
  return StandingLine(
    words.backup,
    [
      backup ? words.backupAt(agoText(backup.made_at_ms, server_now), sizeText(backup.size)) : words.noBackup,
      backup_is_asked ? words.backupIsMade : backup_is_due && words.backupDue,
      backup_trouble && `${words.backupFailed} ${backup_trouble}`,
      backup && (backups_are_sealed ? words.sealed : words.notSealed),
      backup && !backups_are_apart && words.sameDisk,
    ],
    backup_is_asked ? null : isGood,
  );
}

/** @param {Keeping} keeping */
function RoomLine({ disk_free_bytes: left, disk_total_bytes: all }) {
  const isTight = left < ROOM_TIGHT_BYTES;
  return StandingLine(words.room, [words.roomLeft(sizeText(left), sizeText(all)), isTight && words.roomTight], !isTight);
}
