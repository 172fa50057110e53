/**
 * When to talk to the server. The page drives it, for a worker's background sync exists in one browser only. Being
 * offline is normal: it shows as a state, never as an error, and nothing waits for it.
 */

/** @import { Store } from "../storage/store.js" */
/** @import { Refusal } from "../storage/refusals.js" */
/** @import { News } from "./round.js" */
/** @import { Server } from "./server.js" */

import { forgetPairing, readBacklog } from "../storage/rounds.js";
import { exchange } from "./round.js";
import { ServerError } from "./server.js";

/**
 * @typedef {object} LoopState
 * @property {"idle" | "busy" | "offline" | "refused" | "unpaired" | "app-old" | "server-old"} state
 * @property {number} waiting
 * @property {number} waitingPhotos
 * @property {number | null} lastAt
 * @property {number} clockOffset_ms
 * @property {Refusal[]} refusals
 * @property {string | null} problem what the last failed round said
 */

const AFTER_ENTRY_MS = 300;
const BEAT_MS = 20_000;
const BACKOFF_FROM_MS = 1_000;
const BACKOFF_TO_MS = 60_000;
// A frozen tab keeps its lock for ever. Pushing twice is harmless, so waiting for it has an end.
const LOCK_PATIENCE_MS = 60_000;

/**
 * @param {Store} store
 * @param {Server} server
 * @param {{ onChange: (state: LoopState) => void, onNews: (news: News) => void }} listeners
 */
export function createLoop(store, server, { onChange, onNews }) {
  /** @type {LoopState} */
  let state = { state: "idle", waiting: 0, waitingPhotos: 0, lastAt: null, clockOffset_ms: 0, refusals: [], problem: null };
  let failures = 0;
  /** @type {number | undefined} */
  let timer;
  /** @type {Promise<void> | null} */
  let running = null;
  let isWanted = false;
  /** @type {number | null} */
  let lockMissedSince_ms = null;

  /** @param {Partial<LoopState>} change */
  function setState(change) {
    state = { ...state, ...change };
    onChange(state);
  }

  /** @param {number} delay_ms */
  function plan(delay_ms) {
    clearTimeout(timer);
    timer = setTimeout(run, delay_ms);
  }

  /** Run rounds now; a call during a run asks for one more after it. @returns {Promise<void>} */
  function run() {
    clearTimeout(timer);
    if (running) {
      isWanted = true;
      return running;
    }
    running = runOnce().finally(() => {
      running = null;
      if (isWanted) {
        isWanted = false;
        plan(0);
      }
    });
    return running;
  }

  async function runOnce() {
    const phone = await store.readPhone().catch(() => null);
    if (!phone) return plan(BACKOFF_TO_MS);
    await showBacklog();
    if (!phone.isPaired) return setState({ state: "unpaired" });
    const hasRun = await withLock(attempt);
    if (!hasRun) plan(BEAT_MS);
  }

  async function attempt() {
    setState({ state: "busy" });
    try {
      await exchange(store, server, (news) => {
        setState({ clockOffset_ms: news.clockOffset_ms });
        onNews(news);
      });
      failures = 0;
      await showBacklog();
      setState({ state: state.refusals.length > 0 ? "refused" : "idle", lastAt: Date.now(), problem: null });
      plan(BEAT_MS);
    } catch (error) {
      await settleFailure(error);
    }
  }

  /** @param {unknown} error */
  async function settleFailure(error) {
    await showBacklog();
    const problem = error instanceof Error ? error.message : String(error);
    if (error instanceof ServerError && error.code === "unpaired") {
      await forgetPairing(store.database).catch(() => {});
      setState({ state: "unpaired", problem });
      return;
    }
    if (error instanceof ServerError && (error.code === "app-old" || error.code === "server-old")) {
      setState({ state: error.code, problem });
      return plan(BACKOFF_TO_MS);
    }
    failures += 1;
    const most_ms = Math.min(BACKOFF_TO_MS, BACKOFF_FROM_MS * 2 ** (failures - 1));
    setState({ state: "offline", problem });
    plan(Math.max(BACKOFF_FROM_MS, Math.random() * most_ms));
  }

  async function showBacklog() {
    const backlog = await readBacklog(store.database).catch(() => null);
    const { waiting, waitingPhotos, refusals } = state;
    // Mostly it was foreseen: then nothing need be drawn anew.
    if (backlog && JSON.stringify(backlog) !== JSON.stringify({ waiting, waitingPhotos, refusals })) setState(backlog);
  }

  /** One tab talks at a time; the lock is held for these rounds only. @param {() => Promise<void>} work @returns {Promise<boolean>} */
  function withLock(work) {
    if (!navigator.locks) return work().then(() => true);
    return navigator.locks.request("sync", { ifAvailable: true }, async (lock) => {
      const isStuck = lockMissedSince_ms !== null && Date.now() - lockMissedSince_ms > LOCK_PATIENCE_MS;
      if (!lock && !isStuck) {
        lockMissedSince_ms ??= Date.now();
        return false;
      }
      lockMissedSince_ms = null;
      await work();
      return true;
    });
  }

  /** A person, or something a person did, asks: whatever the last failures were, try at once. Done when what is known now has been said. */
  async function wake() {
    failures = 0;
    await running; // it may have begun before what it is asked for
    return run();
  }

  function listen() {
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") {
        store.database.probe().then(wake, wake);
      }
    });
    addEventListener("pageshow", wake);
    addEventListener("online", wake);
  }

  return {
    get state() {
      return state;
    },
    start() {
      listen();
      return run();
    },
    now: wake,
    /** An entry was made: send it soon, together with those that follow at once. */
    noteEntry() {
      failures = 0;
      setState({ waiting: state.waiting + 1 }); // before it is counted: never may it look as if all were sent
      void showBacklog();
      if (!running) plan(AFTER_ENTRY_MS);
      else isWanted = true;
    },
  };
}
