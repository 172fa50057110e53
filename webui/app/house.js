/**
 * The house for its screen: what its server says now, and what a person may do with it. All of it needs the server;
 * what was true the last time is not shown as if it were true.
 */

/** @import { Store } from "../storage/store.js" */
/** @import { Code, Device, Health, Keeping, Link, Opens, Role } from "../sync/house.js" */

import { forgetPairing } from "../storage/rounds.js";
import { createHouseServer } from "../sync/house.js";
import { ServerError } from "../sync/server.js";

/**
 * @typedef {object} HouseState
 * @property {"asking" | "here" | "away" | "unknown"} standing away: the server does not answer; unknown: it does not know this phone
 * @property {Device | null} me this phone, as the house knows it
 * @property {Health | null} health
 * @property {Device[]} devices for owners, oldest first; empty for helpers, as all below
 * @property {Link[]} links
 * @property {Keeping | null} keeping
 */

/** @typedef {ReturnType<typeof createHouse>} House */

/** @type {HouseState} */
const NOTHING = { standing: "asking", me: null, health: null, devices: [], links: [], keeping: null };

/** @param {{ store: Store, onChange: () => void, onLeft: () => Promise<void> }} needs */
export function createHouse({ store, onChange, onLeft }) {
  const server = createHouseServer();
  let state = NOTHING;

  /** Ask for everything anew. Never throws: what went wrong is in the standing. */
  async function look() {
    try {
      const [me, health] = await Promise.all([server.me(), server.health()]);
      state = { ...NOTHING, standing: "here", me, health, ...(me.role === "owner" ? await lookAsOwner() : {}) };
    } catch (error) {
      const isUnknown = error instanceof ServerError && error.code === "unpaired";
      state = { ...NOTHING, standing: isUnknown ? "unknown" : "away" };
    }
    onChange();
  }

  async function lookAsOwner() {
    const [{ devices }, { links }, keeping] = await Promise.all([server.devices(), server.links(), server.keeping()]);
    return { devices, links, keeping };
  }

  /** @template Told @param {Promise<Told>} action @returns {Promise<Told>} once what it changed was asked for again */
  async function after(action) {
    const told = await action;
    await look();
    return told;
  }

  return {
    get state() {
      return state;
    },
    look,
    /** @param {number} id @param {{ name?: string, role?: Role }} change */
    changeDevice: (id, change) => after(server.changeDevice(id, change)),
    /** @param {number} id */
    sendAway: (id) => after(server.sendAway(id)),
    /** A code that lets one browser in. @param {Role} role @returns {Promise<Code>} */
    makeCode: (role) => server.makeCode(role),
    /** The whole address of a new link, told this once. @param {{ opens: Opens, subject: string, name: string }} wish */
    makeLink: async (wish) => location.origin + (await after(server.makeLink(wish))).path,
    /** @param {number} id */
    takeBack: (id) => after(server.takeBack(id)),
    backUp: () => after(server.backUp()),
    /** Be let in no more. What was recorded stays, here and there. */
    async leave() {
      await server.leave();
      await forgetPairing(store.database);
      state = { ...NOTHING, standing: "unknown" };
      await onLeft();
    },
  };
}
