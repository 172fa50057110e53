/** Times long ago, as a person says them. */

import { house as words } from "../../app/words/house.js";
import { dayText } from "../texts/reading-words.js";

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;
const ago = new Intl.RelativeTimeFormat(undefined, { numeric: "always" });

/** @param {number | string} then a moment @param {number} [now_ms] @returns {string} "3 minutes ago"; after a month the day */
export function agoText(then, now_ms = Date.now()) {
  const past_ms = Math.max(0, now_ms - new Date(then).getTime());
  if (past_ms < MINUTE_MS) return words.justNow;
  if (past_ms < HOUR_MS) return ago.format(-Math.floor(past_ms / MINUTE_MS), "minute");
  if (past_ms < DAY_MS) return ago.format(-Math.floor(past_ms / HOUR_MS), "hour");
  if (past_ms < 31 * DAY_MS) return ago.format(-Math.floor(past_ms / DAY_MS), "day");
  return dayText(then);
}
