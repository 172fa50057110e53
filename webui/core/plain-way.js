/**
 * A way to close the car up that is not known to be the shortest, for where that is not found in time.
 *
 * To stand it is the way by which the proof shows that there is one: through the day in its order, again and again,
 * doing whatever closes something and opens nothing, without new fluid. To drive it is the rest of the day. What turns
 * out not to be needed is left out. The same in Python: server/fillfirst/visits/plain_way.py.
 */

/** @import { Aim } from "./types.js" */
/** @import { Move, Moves, State } from "./moves.js" */
/** @import { Task } from "./task.js" */

import { pours } from "./distances.js";
import { afterMove, isBroken, OPEN } from "./moves.js";
import { restOf } from "./task.js";

/** After that many rounds through the day nothing more is closed by going through it. */
const ROUNDS = 3;

/**
 * A list and the state it leaves; null where this way finds none.
 *
 * @param {Moves} moves
 * @param {Task} task
 * @param {Aim} aim
 * @returns {{ listed: Move[], end: State } | null}
 */
export function findPlain(moves, task, aim) {
  const listed = aim === "to-drive" ? restOfDay(moves, task) : goThrough(moves, task);
  return listed && leaveOut(listed, task);
}

/** The day from the latest step from which it ends well, without what is stopped or changes nothing. @param {Moves} moves @param {Task} task @returns {Move[] | null} */
function restOfDay({ day }, task) {
  for (let at = day.length; at >= 0; at -= 1) {
    let state = task.start;
    /** @type {Move[]} */
    const listed = [];
    for (const move of day.slice(at)) {
      const after = afterLawful(move, state, task);
      if (!after || after.join() === state.join()) continue;
      state = after;
      listed.push(move);
    }
    if (restOfCar(state, task) !== null) return listed;
  }
  return null;
}

/** What closes the car up as it is; where that does not do, once what is behind it was opened. @param {Moves} moves @param {Task} task @returns {Move[] | null} */
function goThrough(moves, task) {
  // What runs is stopped before anything else, wherever that is let through.
  const stopping = moves.course.filter(({ writes }) => writes.every(([v]) => moves.variables[v]?.kind === "condition"));
  for (const first of [stopping, []]) {
    for (const openings of [[false], [true, false]]) {
      let { state, listed } = close(moves, first, task, task.start, false);
      for (const mayOpen of openings) {
        const on = close(moves, moves.course, task, state, mayOpen);
        state = on.state;
        listed = [...listed, ...on.listed];
      }
      if (restOfCar(state, task) !== null) return listed;
    }
  }
  return null;
}

/** The state after going through these moves until none of them gains anything, and those that did. @param {Moves} moves @param {Move[]} course @param {Task} task @param {State} start @param {boolean} mayOpen */
function close(moves, course, task, start, mayOpen) {
  let state = start;
  /** @type {Move[]} */
  const listed = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    const before = listed.length;
    for (const move of course) {
      const after = afterLawful(move, state, task);
      if (!after || !gains(moves, move, task, state, mayOpen)) continue;
      state = after;
      listed.push(move);
    }
    if (listed.length === before) break;
  }
  return { state, listed };
}

/** Whether it betters something and spoils nothing; with `mayOpen` it may open beside an opening. @param {Moves} moves @param {Move} move @param {Task} task @param {State} state @param {boolean} mayOpen */
function gains(moves, { writes }, { resting, levels }, state, mayOpen) {
  const closes = writes.some(([v]) => moves.variables[v]?.kind === "closure");
  let isGain = false;
  for (const [v, value] of writes) {
    const rests = resting.get(v) ?? new Map();
    if (levels.includes(v)) {
      // What is full is emptied only where it has to be, to let something open be closed.
      if (value && !state[v] && !closes) return false;
    } else if (!rests.has(value) && rests.has(state[v]) && !(mayOpen && isBesideOpen(moves, v, state))) return false;
    // What may be left as it is need not be brought to its end: nobody has to lower the car.
    const { values = [], ends = [] } = moves.variables[v] ?? {};
    const isEnd = resting.has(v) && ends.includes(values[value] ?? "");
    isGain ||= state[v] !== value && !(isEnd && rests.has(state[v]));
  }
  return isGain;
}

/** Whether another closure of its circuit is open. @param {Moves} moves @param {number} closure @param {State} state */
function isBesideOpen({ variables }, closure, state) {
  const circuit = variables[closure]?.circuit;
  if (!circuit) return false;
  return variables.some((variable, v) => variable.kind === "closure" && variable.circuit === circuit && v !== closure && state[v] === OPEN);
}

/** The same list without what it can do without, and the state it leaves. @param {Move[]} all @param {Task} task @returns {{ listed: Move[], end: State }} */
function leaveOut(all, task) {
  let listed = all;
  let end = /** @type {State} */ (play(listed, task));
  for (let at = 0; at < listed.length; ) {
    const fewer = listed.filter((_, place) => place !== at);
    const other = play(fewer, task);
    const [rest, least] = [other && restOfCar(other, task), restOfCar(end, task)];
    if (other && rest !== null && (least === null || rest <= least)) [listed, end] = [fewer, other];
    else at += 1;
  }
  return { listed, end };
}

/** The state after these moves; null where one is not let through. @param {Move[]} listed @param {Task} task */
function play(listed, task) {
  /** @type {State | null} */
  let state = task.start;
  for (const move of listed) state = state && afterLawful(move, state, task);
  return state;
}

/** @param {Move} move @param {State} state @param {Task} task */
function afterLawful(move, state, { levels, laws }) {
  const after = afterMove(move, state);
  if (!after || pours(levels, state, after)) return null;
  return laws.some((law) => isBroken(law, after)) ? null : after;
}

/** @param {State} state @param {Task} task */
function restOfCar(state, { resting }) {
  return restOf(resting, [...state.keys()], state);
}
