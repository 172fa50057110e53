/** What to lay out before the day, as lines: tools with sizes, wrenches for every torque, pans, cans, equipment. */

/** @import { Composition } from "../../core/types.js" */
/** @import { TorqueLine, VesselLine } from "../../core/outfit.js" */
/** @import { Planned } from "../../core/shopping.js" */
/** @import { Knowledge } from "../texts/known.js" */
/** @import { ListLine, ListPart } from "./text.js" */

import { words } from "../../app/words.js";
import { plan as planWords } from "../../app/words/plan.js";
import { streamName } from "../../app/words/streams.js";
import { findRanges, listNeeds, listTools, listTorques, listVessels } from "../../core/outfit.js";
import { jobsOf } from "../../core/shopping.js";
import { lookUp } from "../texts/known.js";
import { listText } from "../texts/reading-words.js";
import { amountText } from "../texts/unit-amount.js";

/** @param {Knowledge} knowledge @param {Planned} planned @param {Composition} composition @returns {ListPart[]} */
export function outfitParts(knowledge, planned, composition) {
  const jobs = jobsOf(composition);
  const tools = listTools(planned, jobs, (name) => lookUp(knowledge, name).text);
  const needs = listNeeds(planned, jobs);
  // Nothing is missing from a garage that nobody has told about.
  const isTold = Object.keys(planned.inventory.things).length > 0;
  const missing = /** @param {boolean} isMissing */ (isMissing) => (isTold && isMissing ? planWords.hasNot : "");
  return [
    { title: "", lines: tools.map(({ title, sizes, has }) => line(`tool:${title}`, title, [missing(has === false), sizes.join(", ")], "")) },
    { title: planWords.wrenches, lines: wrenchLines(knowledge, listTorques(planned, composition), isTold) },
    { title: planWords.vessels, lines: listVessels(planned, composition.jobs).flatMap((vessel) => vesselLines(knowledge, vessel, isTold)) },
    { title: words.plan.equipment, lines: needs.map(({ title, why, has, count }) => line(`equipment:${title}`, title, [missing(has !== null && has < count), why], count > 1 ? words.plan.pieces(count) : "")) },
  ].filter(({ lines }) => lines.length > 0);
}

/** @param {string} id @param {string} title @param {string[]} notes @param {string} amount @returns {ListLine} */
function line(id, title, notes, amount) {
  return { id, title, notes: notes.filter(Boolean), amount, colour: null, figure: null };
}

/** @param {Knowledge} knowledge @param {TorqueLine[]} torques @param {boolean} isTold @returns {ListLine[]} */
function wrenchLines({ catalog }, torques, isTold) {
  const say = /** @param {number} torque */ (torque) => amountText(catalog, "N*m", torque).text;
  /** @type {Map<string, { title: string, torques: number[] }>} */
  const own = new Map();
  for (const { torque, wrench } of torques) {
    if (!wrench) continue;
    const title = wrench.title || catalog.equipment?.[wrench.of]?.title || "";
    own.set(wrench.id, { title, torques: [...(own.get(wrench.id)?.torques ?? []), torque] });
  }
  const had = [...own].map(([id, { title, torques: of }]) => line(`wrench:${id}`, title, [of.map(say).join(", ")], ""));
  const wanted = findRanges(torques).map(({ least, most }) => {
    const covered = torques.filter(({ torque, wrench }) => !wrench && torque >= least && torque <= most);
    return line(`wrench:${say(least)}`, planWords.wrenchFor(planWords.span(say(least), say(most))), [isTold ? planWords.wrenchMissing : "", covered.map(({ torque }) => say(torque)).join(", ")], "");
  });
  return [...had, ...wanted];
}

/** @param {Knowledge} knowledge @param {VesselLine} vessel @param {boolean} isTold @returns {ListLine[]} */
function vesselLines({ catalog }, { stream, out, largest, jobs, pan, cans }, isTold) {
  const say = /** @param {number} volume */ (volume) => amountText(catalog, "l", volume).text;
  const kind = streamName(stream);
  const of = listText(jobs.map((id) => catalog.jobs[id]?.title ?? id));
  if (out === null || largest === null) return [line(`vessel:${stream}`, planWords.vessel(kind), [planWords.unknownAmount, of], "")];
  const fits = pan ? planWords.fits(pan.title || catalog.equipment?.[pan.of]?.title || "") : isTold ? planWords.tooSmall : "";
  return [
    line(`pan:${stream}`, planWords.pan(say(largest), kind), [fits, of], ""),
    line(`can:${stream}`, planWords.can(say(out), kind), [cans === null ? "" : planWords.cansHold(say(cans))], ""),
  ];
}
