/**
 * Items of one list that are as good as one another, so that make-safe.js offers only the first of them.
 *
 * Ten screws that are all in by hand make no difference: whichever has its turn first, the list is as long. Two items
 * are interchangeable where exchanging them, with every variable that either has, turns each move of the visit into
 * one that takes as long, and leaves each law as it is. It is tried on the numbers of the visit, so a rule, a step or
 * a part that speaks of one item alone keeps it apart.
 *
 * No shortest list is lost: where two such items are in equal states, a list that begins with the later one turns into
 * one as short that begins with the first. The same in Python: server/fillfirst/visits/interchangeable.py.
 */

/** @import { Cell, Law, Move, Moves, State } from "./moves.js" */

import { touchedBy, variablesOf } from "./moves.js";

/** @typedef {number[]} Item the variables of one item */
/** @typedef {Item[]} Family interchangeable items in the order of the list */
/** @typedef {{ own: Item, earlier: Item[] }} Lead the item that a move writes, and the items before it of the same family */

/** Whether an earlier item is in the same state, so that it has its turn first. @param {Lead} lead @param {State} state */
export function holdsBack({ own, earlier }, state) {
  for (const item of earlier) if (own.every((v, at) => state[v] === state[item[at] ?? 0])) return true;
  return false;
}

/** Items that are interchangeable in every state of the visit; none that stands alone. @param {Moves} moves @returns {Family[]} */
export function findFamilies(moves) {
  const laws = [...new Set([...moves.laws, ...moves.all.flatMap(({ there }) => there)])];
  return itemsOf(moves).flatMap((items) => {
    /** @type {Family[]} */
    const families = [];
    for (const item of items) {
      const family = families.find(([first]) => first && areAlike(moves.all, laws, first, item));
      if (family) family.push(item);
      else families.push([item]);
    }
    return families.filter(({ length }) => length > 1);
  });
}

/** For each list that variables go through, the variables of its items. @param {Moves} moves @returns {Item[][]} */
function itemsOf({ ids, variables }) {
  /** @type {Map<string, Map<string, Item>>} */
  const lists = new Map();
  variables.forEach(({ each }, v) => {
    if (!each) return;
    const items = lists.get(each) ?? new Map();
    const [, item = ""] = (ids[v] ?? "").split("@");
    lists.set(each, items.set(item, [...(items.get(item) ?? []), v]));
  });
  return [...lists.values()].map((items) => [...items.values()]);
}

/** Whether the visit is the same with these two exchanged. @param {Move[]} moves @param {Law[]} laws @param {Item} one @param {Item} other */
function areAlike(moves, laws, one, other) {
  if (one.length !== other.length) return false;
  const swap = new Map(one.flatMap((v, at) => [/** @type {[number, number]} */ ([v, other[at] ?? 0]), /** @type {[number, number]} */ ([other[at] ?? 0, v])]));
  const same = new Map();
  /** @param {Iterable<number>} variables */
  const isNear = (variables) => [...variables].some((v) => swap.has(v));
  if (laws.some((law) => isNear(variablesOf(law)) && lawText(law, swap) !== lawText(law, same))) return false;
  const near = moves.filter((move) => isNear(spokenOf(move)));
  const texts = new Set(near.map((move) => moveText(move, same)));
  const swapped = new Set(near.map((move) => moveText(move, swap)));
  return texts.size === swapped.size && [...swapped].every((text) => texts.has(text));
}

/** @param {Move} move */
function spokenOf(move) {
  return [...touchedBy(move), ...move.needs.map(({ v }) => v), ...move.tightens.flatMap(([, , parts]) => parts)];
}

/** @param {Cell[]} cells @param {Map<number, number>} swap */
function cellsText(cells, swap) {
  return setText(cells.map(({ v, mask }) => `${swap.get(v) ?? v}:${mask}`));
}

/** @param {string[]} texts */
function setText(texts) {
  return `{${[...new Set(texts)].sort().join()}}`;
}

/** All that a law says, with some variables exchanged. @param {Law} law @param {Map<number, number>} swap */
function lawText({ whiles, musts }, swap) {
  return `${setText(whiles.map((group) => cellsText(group, swap)))}${cellsText(musts, swap)}`;
}

/** All that a move does and asks, with some variables exchanged. @param {Move} move @param {Map<number, number>} swap */
function moveText({ seconds, needs, writes, opens, tightens, there }, swap) {
  /** @param {number} v */
  const at = (v) => swap.get(v) ?? v;
  /** @param {number[]} parts */
  const all = (parts) => setText(parts.map((v) => `${at(v)}`));
  return [
    seconds,
    there.map((law) => lawText(law, new Map())),
    cellsText(needs, swap),
    setText(writes.map(([v, value]) => `${at(v)}:${value}`)),
    setText(opens.map(([v, parts]) => `${at(v)}:${all(parts)}`)),
    setText(tightens.map(([v, value, parts]) => `${at(v)}:${value}:${all(parts)}`)),
  ].join("|");
}

/**
 * For each move that writes one item only, those before it in a family that lies among the variables.
 *
 * @param {Move[]} moves
 * @param {Family[]} families
 * @param {number[]} variables
 * @returns {Map<string, Lead>} by the id of the move
 */
export function findLeads(moves, families, variables) {
  const own = new Set(variables);
  const inside = families.filter((family) => family.flat().every((v) => own.has(v)));
  /** @type {Map<string, Lead>} */
  const leads = new Map();
  for (const move of moves) {
    const touched = touchedBy(move);
    for (const family of inside) {
      const written = family.filter((item) => item.some((v) => touched.has(v)));
      const [item] = written;
      if (written.length !== 1 || !item || item === family[0]) continue;
      leads.set(move.id, { own: item, earlier: family.slice(0, family.indexOf(item)) });
    }
  }
  return leads;
}
