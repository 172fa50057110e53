/**
 * When a window opens and closes, as far as the readings can tell: an earliest and a latest, never a promise. The next
 * reading decides.
 */

/** @import { Catalog } from "../../core/types.js" */

import { words } from "../../app/words.js";
import { timeText } from "../texts/reading-words.js";
import { fixedGiven, workOutFunction } from "../numbers/worked.js";

const FORMULA = "window-prediction";
/** Two readings lie on a line whatever the car does. */
const FEWEST = 3;

/** @typedef {{ from_ms: number, to_ms: number }} Span by the clock of the readings */
/** @typedef {{ outlook: string, opens: Span | null, closes: Span | null, first_ms: number, worked: import("../numbers/worked.js").WorkedFunction }} Forecast worked: what stands behind it */

/**
 * @param {Catalog} catalog
 * @param {{ at_ms: number, value: number }[]} points SI, in the order they were read
 * @param {number} from SI
 * @param {number} to SI
 * @returns {Forecast | null} null where the catalog knows no such formula or a number is outside what it holds for
 */
export function forecast(catalog, points, from, to) {
  const first_ms = points[0]?.at_ms ?? 0;
  if (points.length < FEWEST) return null;
  const read = words.numbers.read;
  const worked = workOutFunction(catalog, FORMULA, {
    times: fixedGiven(points.map(({ at_ms }) => (at_ms - first_ms) / 1000), read),
    temperatures: fixedGiven(points.map(({ value }) => value), read),
    window_from: fixedGiven(from, words.work.forecast.window),
    window_to: fixedGiven(to, words.work.forecast.window),
  });
  if (!worked?.parts) return null;
  const { parts } = worked;

  /** @param {"enters" | "leaves"} which @returns {Span | null} */
  const span = (which) => {
    const [earliest, latest] = [parts[`${which}_from`], parts[`${which}_to`]];
    if (typeof earliest !== "number" || typeof latest !== "number") return null;
    return { from_ms: first_ms + earliest * 1000, to_ms: first_ms + latest * 1000 };
  };
  return { outlook: String(parts["outlook"]), opens: span("enters"), closes: span("leaves"), first_ms, worked };
}

/** Everything the forecast rests on; moments are told by the clock on the wall. @param {Forecast} told */
export async function openForecast({ worked, first_ms }) {
  const { openFunctionSheet } = await import("../numbers/number-sheet.js");
  const moments = Object.entries(worked.parts ?? {}).flatMap(([name, value]) => {
    const isMoment = worked.formula.parts[name]?.unit === "min" && typeof value === "number";
    return isMoment ? [[name, timeText(first_ms + /** @type {number} */ (value) * 1000)]] : [];
  });
  const outlooks = /** @type {Record<string, string>} */ (words.work.forecast.outlooks);
  const outlook = String(worked.parts?.["outlook"] ?? "");
  openFunctionSheet(worked, { ...Object.fromEntries(moments), outlook: outlooks[outlook] ?? outlook });
}

/** @param {Forecast | null} told @param {number} now_ms @returns {string} */
export function forecastText(told, now_ms) {
  if (!told) return "";
  const say = words.work.forecast;
  if (told.outlook === "cannot-tell") return say.cannotTell;
  if (told.outlook === "will-not-enter") return say.willNotEnter;
  /** A time that has gone by was not met: only a reading can tell now. @param {Span | null} span */
  const isAhead = (span) => span !== null && span.to_ms > now_ms;
  const lines = [
    isAhead(told.opens) && say.opens(...minutes(/** @type {Span} */ (told.opens), now_ms)),
    isAhead(told.closes) && say.closes(...minutes(/** @type {Span} */ (told.closes), now_ms)),
  ].filter((line) => line !== false);
  return lines.length ? say.told(lines) : "";
}

/** Rounded away from the middle, so that the span said is never narrower than the one worked out. @param {Span} span @param {number} now_ms @returns {[number, number]} */
function minutes({ from_ms, to_ms }, now_ms) {
  return [Math.max(0, Math.floor((from_ms - now_ms) / 60_000)), Math.max(0, Math.ceil((to_ms - now_ms) / 60_000))];
}
