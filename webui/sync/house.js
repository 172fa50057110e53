/**
 * The house, as its server tells it: who is let in, what is shared, how it is kept. None of it is kept on the phone, for
 * what is no longer true here would let somebody in, or out.
 */

import { notOurs, readJson, send } from "./server.js";

/** @typedef {"owner" | "helper"} Role an owner may do everything; a helper records work */
/** @typedef {"record" | "calendar"} Opens what a link shows */

/**
 * @typedef {object} Device a browser that was let in
 * @property {number} id
 * @property {string} name
 * @property {Role} role
 * @property {string} last_seen_at
 * @property {string | null} revoked_at
 * @property {string | null} app the version of the app that it last synced with
 */

/** @typedef {{ id: number, opens: Opens, subject: string, name: string, created_at: string, last_seen_at: string | null, revoked_at: string | null }} Link */
/** @typedef {{ code: string, role: Role, lasts_s: number, setup: string }} Code lasts_s: from the moment it came */
/** @typedef {{ version: string, app: string, certificate_days: number | null, own_specs: "none" | "served" | "refused" }} Health */

/**
 * @typedef {object} Keeping what an owner is told of how the server is kept; times in milliseconds, its clock
 * @property {number} disk_free_bytes
 * @property {number} disk_total_bytes
 * @property {number} events
 * @property {{ made_at_ms: number, name: string, size: number } | null} backup
 * @property {boolean} backup_is_due
 * @property {boolean} backup_is_asked
 * @property {string | null} backup_trouble
 * @property {boolean} backups_are_sealed
 * @property {boolean} backups_are_apart
 * @property {number} server_now
 * @property {{ device: number, offset_ms: number }[]} clocks_off
 */

/** @typedef {ReturnType<typeof createHouseServer>} HouseServer */

/** Every call throws ServerError. */
export function createHouseServer() {
  return {
    /** The device that asks. @returns {Promise<Device>} */
    async me() {
      return (await ask("GET", "/api/me", { device: "object" })).device;
    },
    /** @returns {Promise<Health>} */
    health: () => ask("GET", "/api/health", { version: "string", app: "string" }),
    /** @returns {Promise<{ own: number, devices: Device[] }>} */
    devices: () => ask("GET", "/api/devices", { own: "number", devices: "object" }),
    /** @param {number} id @param {{ name?: string, role?: Role }} change */
    changeDevice: (id, change) => send("PATCH", `/api/devices/${id}`, change),
    /** @param {number} id */
    sendAway: (id) => send("DELETE", `/api/devices/${id}`),
    leave: () => send("DELETE", "/api/me"),
    /** @param {Role} role @returns {Promise<Code>} */
    makeCode: (role) => ask("POST", "/api/codes", { code: "string", lasts_s: "number", setup: "string" }, { role }),
    /** @returns {Promise<{ links: Link[] }>} */
    links: () => ask("GET", "/api/links", { links: "object" }),
    /** The path of the link is told this once. @param {{ opens: Opens, subject: string, name: string }} wish @returns {Promise<{ link: Link, path: string }>} */
    makeLink: (wish) => ask("POST", "/api/links", { link: "object", path: "string" }, wish),
    /** @param {number} id */
    takeBack: (id) => send("DELETE", `/api/links/${id}`),
    /** @returns {Promise<Keeping>} */
    keeping: () => ask("GET", "/api/keeping", { events: "number", server_now: "number" }),
    backUp: () => send("POST", "/api/backups"),
  };
}

/**
 * @param {"GET" | "POST"} method @param {string} address
 * @param {Record<string, "string" | "number" | "object">} expected what the answer must have at least
 * @param {object} [body]
 * @returns {Promise<any>}
 */
async function ask(method, address, expected, body) {
  const answer = await readJson(await send(method, address, body));
  const wrong = Object.entries(expected).find(([key, type]) => typeof answer[key] !== type || answer[key] === null);
  if (wrong) throw notOurs(`${address} answered without ${wrong[0]}`);
  return answer;
}
