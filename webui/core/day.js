/** One day being laid out, step by step, by the rules that timetable.js tells; a day that is under way is taken up. */

/** @import { Catalog, Composition } from "./types.js" */
/** @import { Job } from "./day-jobs.js" */
/** @import { Span, Task, Timetable } from "./timetable.js" */

import { backTarget, effects, targets } from "./compose.js";
import { findBefore, isSameBlock } from "./day-jobs.js";
import { stops } from "./gate.js";

/** @typedef {{ job: Job, end_s: number }} Pending */
/** @typedef {Record<string, string>} State */

export class Day {
  /** @param {Catalog} catalog @param {Composition} composition @param {Job[]} jobs @param {number[][]} [before] */
  constructor(catalog, composition, jobs, before = findBefore(catalog, composition, jobs)) {
    this.catalog = catalog;
    this.composition = composition;
    this.jobs = jobs;
    this.before = before;
    this.now_s = 0;
    /** @type {State} */
    this.state = Object.fromEntries(Object.entries(composition.variables).map(([id, base]) => [id, catalog.variables[base]?.starts ?? ""]));
    /** @type {Record<string, number>} when each variable last changed */
    this.changed_s = {};
    /** @type {Job | null} the step of a block that was begun last: what follows in it comes before all else */
    this.held = null;
    /** @type {Set<number>} */
    this.begun = new Set();
    /** @type {Set<number>} */
    this.ended = new Set();
    /** @type {Pending[]} what waits, the first to end first */
    this.pending = [];
    /** @type {Task[]} */
    this.tasks = [];
    /** @type {{ id: string, at_s: number, isSafe: boolean, isRunning: boolean }[]} */
    this.ends = [];
  }

  isOver() {
    return this.ended.size === this.jobs.length;
  }

  /**
   * Stand where a visit stands, and look for what may be begun.
   *
   * @param {State} state @param {Set<string>} done @param {{ id: string, left_s: number }[]} waiting
   * @returns {Job | null}
   */
  takeUp(state, done, waiting) {
    this.state = state;
    for (const { at, instance } of this.jobs) if (done.has(instance.id)) this.ended.add(at);
    this.begun = new Set(this.ended);
    for (const { id, left_s } of waiting) {
      const job = this.jobs.find(({ instance }) => instance.id === id);
      if (!job || this.#isAttended(job)) return null;
      this.begun.add(job.at);
      this.pending = this.#withPending({ job, end_s: left_s });
    }
    this.held = this.jobs.find((job) => this.begun.has(job.at) && this.#isFollowed(job)) ?? null;
    return this.jobs.find((job) => this.#mayBegin(job) && !this.#leadsBackOver(job)) ?? null;
  }

  /** Whether the next step of its block is still to be begun. @param {Job} job */
  #isFollowed(job) {
    const follows = this.jobs[job.at + 1];
    return follows !== undefined && !this.begun.has(follows.at) && isSameBlock(job, follows);
  }

  /** Whether its way back, should it fail, would begin afresh what waits. @param {Job} job */
  #leadsBackOver(job) {
    const to = job.step.back ? backTarget(this.catalog, this.composition, job.instance) : null;
    const from = this.jobs.findIndex(({ instance }) => instance.id === to?.id);
    return from >= 0 && this.pending.some(({ job: { at } }) => at >= from && at <= job.at);
  }

  /** Begin whatever may be begun now, or wait for the next thing to end. */
  goOn() {
    this.#endUntil(this.now_s);
    const next = this.jobs.find((job) => this.#mayBegin(job));
    if (next) return this.#begin(next);
    const [first] = this.pending;
    // The composed order itself is proved: with nothing pending, its next step can always begin.
    const head = this.jobs.find(({ at }) => !this.begun.has(at));
    if (first) this.now_s = Math.max(this.now_s, first.end_s);
    else if (head) this.#begin(head);
  }

  /** @param {Job} job */
  #mayBegin(job) {
    if (this.begun.has(job.at) || !(this.before[job.at] ?? []).every((at) => this.ended.has(at))) return false;
    if (this.held && !isSameBlock(this.held, job)) return false;
    if (job.step.meanwhile && this.pending.length > 0 && this.#willDrain(job)) return false;
    if (this.pending.length === 0 && !this.held) return job.at === this.jobs.find(({ at }) => !this.begun.has(at))?.at;
    return this.#isAllowed(this.state, job) && this.#endsWell(job);
  }

  /** Whether anything is still to be drained: then no can is closed and no spill is the last. @param {Job} job */
  #willDrain(job) {
    return this.jobs.some(({ at, step }) => at < job.at && !this.begun.has(at) && Object.entries(step.makes).some(([id, value]) => this.catalog.variables[id]?.kind === "circuit" && ["part", "empty"].includes(value)));
  }

  /** @param {State} state @param {Job} job */
  #isAllowed(state, { instance }) {
    return stops(this.catalog, this.composition, state, instance).length === 0;
  }

  /** Whether all that waits, and this step with it, may end in the order in which it will. @param {Job} job */
  #endsWell(job) {
    const all = this.#withPending({ job, end_s: this.now_s + job.work_s + this.#waitOf(job) });
    let state = this.state;
    for (const [at, { job: ending }] of all.entries()) {
      if (!this.#isAllowed(state, ending)) return false;
      state = { ...state, ...effects(this.catalog, this.composition, state, ending.instance) };
      if (!all.slice(at + 1).every(({ job: waiting }) => this.#hasWhatItNeeds(state, waiting))) return false;
    }
    return true;
  }

  /** @param {State} state @param {Job} job */
  #hasWhatItNeeds(state, { step, instance }) {
    return Object.entries(step.needs).every(([base, values]) => targets(this.catalog, this.composition, instance, base).every((id) => values.includes(state[id] ?? "")));
  }

  /** @param {Pending} one */
  #withPending(one) {
    return [...this.pending, one].sort((a, b) => a.end_s - b.end_s || a.job.at - b.job.at);
  }

  /** @param {Job} job */
  #begin(job) {
    const wait_s = this.#waitOf(job);
    const attended = wait_s > 0 && this.#isAttended(job);
    const busy_s = job.work_s + (attended ? wait_s : 0);
    const end_s = this.now_s + job.work_s + wait_s;
    const head = this.jobs.find(({ at }) => !this.begun.has(at));
    this.tasks.push({ id: job.instance.id, step: job.step.id, start_s: this.now_s, work_s: job.work_s, wait_s, end_s, attended, people: job.step.people ?? 1, early: this.pending.length > 0 && head !== undefined && head.at < job.at });
    this.begun.add(job.at);
    const follows = this.jobs[job.at + 1];
    this.held = follows && isSameBlock(job, follows) ? job : null;
    this.pending = this.#withPending({ job, end_s });
    this.now_s += busy_s;
  }

  /** What cools goes on cooling: such a wait counts from the last change of what it names. @param {Job} job */
  #waitOf({ step, work_s, wait_s }) {
    if (!step.since?.length) return wait_s;
    const since_s = Math.max(0, ...step.since.map((id) => this.changed_s[id] ?? 0));
    return Math.max(0, wait_s - (this.now_s + work_s - since_s));
  }

  /** What is watched, gone through or must not last longer is not left; nor is anything that runs. @param {Job} job */
  #isAttended({ step, instance }) {
    const after = { ...this.state, ...effects(this.catalog, this.composition, this.state, instance) };
    return step.kind === "watch" || step.kind === "cycle" || Boolean(step.hold?.most) || isRunning(this.state) || isRunning(after);
  }

  /** @param {number} until_s */
  #endUntil(until_s) {
    while (this.pending[0] && this.pending[0].end_s <= until_s + 1e-6) {
      const { job, end_s } = /** @type {Pending} */ (this.pending.shift());
      const made = effects(this.catalog, this.composition, this.state, job.instance);
      for (const [id, value] of Object.entries(made)) if (this.state[id] !== value) this.changed_s[id] = end_s;
      this.state = { ...this.state, ...made };
      this.ended.add(job.at);
      this.ends.push({ id: job.instance.id, at_s: end_s, isSafe: this.#isSafe(), isRunning: isRunning(this.state) });
    }
  }

  /** Whether the car may be left overnight: nothing runs, no circuit is open or short of fluid. On stands it may stand uncovered, without its wheels. */
  #isSafe() {
    const isRaised = this.state.support !== "on-ground";
    return Object.entries(this.composition.variables).every(([id, base]) => {
      const variable = this.catalog.variables[base];
      const value = this.state[id] ?? "";
      if (!variable || variable.kind === "fluid" || variable.kind === "part" || value === variable.starts) return true;
      if (variable.kind === "circuit") return variable.values.indexOf(value) <= variable.values.indexOf("filled");
      if (variable.kind === "closure" && !variable.circuit && isRaised) return true;
      return [...variable.ends, ...(variable.rests ?? [])].includes(value);
    });
  }

  /** @returns {Timetable} */
  tell() {
    const total_s = Math.max(0, ...this.tasks.map(({ end_s }) => end_s));
    const hands_s = this.tasks.reduce((sum, { work_s, wait_s, attended }) => sum + work_s + (attended ? wait_s : 0), 0);
    const helped = this.tasks.filter(({ people }) => people > 1);
    return {
      tasks: this.tasks,
      order: this.ends.map(({ id }) => id),
      total_s,
      hands_s,
      idle_s: total_s - hands_s,
      bound_s: Math.max(hands_s, this.#longestChain()),
      unbroken: this.#unbroken(),
      second: helped.length ? { from_s: Math.min(...helped.map(({ start_s }) => start_s)), to_s: Math.max(...helped.map(({ end_s }) => end_s)) } : null,
      rests: [{ at_s: 0, after: null }, ...this.ends.filter(({ isSafe, at_s }) => isSafe && !this.tasks.some(({ start_s, end_s }) => start_s < at_s - 1e-6 && end_s > at_s + 1e-6)).map(({ id, at_s }) => ({ at_s, after: id }))],
    };
  }

  #longestChain() {
    /** @type {number[]} */
    const until = [];
    for (const { at, step, work_s, wait_s } of this.jobs) until[at] = Math.max(0, ...(this.before[at] ?? []).map((other) => until[other] ?? 0)) + work_s + (step.since?.length ? 0 : wait_s);
    return Math.max(0, ...until);
  }

  /** From the start of what runs, or of a watched wait, to its end; spans that touch are one. @returns {Span[]} */
  #unbroken() {
    const running = this.ends.flatMap(({ at_s, isRunning: runs }, at) => (runs ? [{ from_s: at_s, to_s: this.ends[at + 1]?.at_s ?? at_s }] : []));
    const watched = this.tasks.filter(({ attended }) => attended).map(({ start_s, end_s }) => ({ from_s: start_s, to_s: end_s }));
    return join([...running, ...watched]);
  }
}

/** @param {State} state */
function isRunning(state) {
  return state.engine === "running" || state["drive-system"] === "ready";
}

/** @param {Span[]} spans @returns {Span[]} */
function join(spans) {
  /** @type {Span[]} */
  const joined = [];
  for (const { from_s, to_s } of [...spans].sort((a, b) => a.from_s - b.from_s)) {
    const last = joined.at(-1);
    if (last && from_s <= last.to_s + 1) last.to_s = Math.max(last.to_s, to_s);
    else joined.push({ from_s, to_s });
  }
  return joined;
}
