/** A vacuum over the time it must hold: flat is tight, a line that falls back towards the air outside is a leak. */

/** @import { StepContext } from "./step-context.js" */

import { svg } from "../dom/element.js";
import { words } from "../app/words.js";
import { fromSI, formatNumber, unitOf } from "../core/units.js";
import { wantedUnit } from "./unit-amount.js";

const LEFT = 30;
const RIGHT = 322;
const TOP = 22;
const BOTTOM = 140;

/** @param {StepContext} context @param {string[]} gauges the readings of the gauge, in any order */
export function VacuumHold(context, gauges) {
  const root = svg("svg", { class: "picture chart vacuum", viewBox: "0 0 340 172", role: "img" });

  function update() {
    const { catalog, visit } = context.open();
    const unit = unitOf(catalog, wantedUnit(catalog, catalog.readings[gauges[0] ?? ""]?.unit ?? "kPa"));
    const points = gauges
      .flatMap((name) => (visit.readings[name] ?? []).slice(-1))
      .map(({ at, value }) => ({ at_ms: Date.parse(at), shown: fromSI(unit, value) }))
      .sort((a, b) => a.at_ms - b.at_ms);
    root.toggleAttribute("hidden", points.length === 0);
    if (!points.length) return;
    const deepest = Math.max(...points.map(({ shown }) => shown)) * 1.15;
    const first = points[0]?.at_ms ?? 0;
    const span = Math.max(60_000, (points.at(-1)?.at_ms ?? 0) - first);
    const x = /** @param {number} at */ (at) => LEFT + 20 + ((at - first) / span) * (RIGHT - LEFT - 60);
    const y = /** @param {number} shown */ (shown) => TOP + (shown / deepest) * (BOTTOM - TOP);
    const path = points.map(({ at_ms, shown }, at) => `${at ? "L" : "M"}${x(at_ms).toFixed(1)} ${y(shown).toFixed(1)}`).join("");
    root.setAttribute("aria-label", words.work.vacuum(points.map(({ shown }) => `${formatNumber(shown, unit.decimals)} ${unit.symbol}`)));
    root.replaceChildren(
      svg("path", { class: "axis", d: `M${LEFT} ${TOP}H${RIGHT}` }),
      svg("text", { x: LEFT, y: TOP - 7 }, words.work.outsideAir),
      svg("path", { class: "aim", d: `M${LEFT} ${y(points[0]?.shown ?? 0)}H${RIGHT}` }),
      svg("path", { class: "line", d: path }),
      ...points.map(({ at_ms, shown }) => svg("circle", { class: "dot", cx: x(at_ms), cy: y(shown), r: 7 })),
      ...points.map(({ at_ms, shown }, at) => svg("text", { x: x(at_ms), y: y(shown) + (at ? -14 : 26), "text-anchor": at ? "start" : "middle" }, `${formatNumber(shown, unit.decimals)} ${unit.symbol}`)),
    );
  }
  return { root, update };
}
