/** The answers of a choice in the order in which the specs offer them: an object of JSON has lost it. */

/** @import { Fact } from "./types.js" */

/** @param {Fact} fact @returns {[id: string, label: string][]} none where it has no fixed answers */
export function optionsOf({ options, answers }) {
  const all = options ?? {};
  const ids = answers?.length ? answers : Object.keys(all);
  return ids.map((id) => [id, all[id] ?? id]);
}
