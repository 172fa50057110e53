/**
 * The server, as the phone sees it: the only calls to fetch. Every answer is checked before it is believed, for a
 * hotel's login page and another box on the same address answer too.
 */

/** @import { Event } from "../core/types.js" */
/** @import { Answer } from "../storage/rounds.js" */
/** @import { Photo } from "../storage/photos.js" */

import { tellHash } from "../storage/hashes.js";

/** @typedef {ReturnType<typeof createServer>} Server */
/** @typedef {{ epoch: string | null, cursor: number, ack: number, client_now: number, device: string, app: string | null, protocol: number, events: Event[] }} Question */

const TIMEOUT_MS = 15_000;
/** The edition of the protocol that this app follows (server/fillfirst/sync/PROTOCOL.md), and the oldest it can work with. */
const PROTOCOL = 1;
const MIN_SERVER = 1;

/**
 * Why a request brought nothing.
 *
 *     ServerError
 *       code "offline"    nothing answered, or something that is not our server
 *       code "unpaired"   the server does not know this phone
 *       code "refused"    it answered that it will not do this
 *       code "app-old"    it no longer serves apps as old as this one
 *       code "server-old" this app can no longer work with a server as old as this one
 */
export class ServerError extends Error {
  /** @param {"offline" | "unpaired" | "refused" | "app-old" | "server-old"} code @param {string} message @param {{ cause?: unknown, next?: string }} [more] next: what to do about it */
  constructor(code, message, { cause, next = "" } = {}) {
    super(message, { cause });
    this.name = "ServerError";
    this.code = code;
    this.next = next;
  }
}

export function createServer() {
  return {
    /**
     * @param {string} code @param {string} name what to call this phone
     * @returns {Promise<{ serverId: string }>}
     */
    async pair(code, name) {
      const answer = await readJson(await send("POST", "/api/pair", { code, name }));
      if (typeof answer.server_id !== "string") throw notOurs("the pairing answer names no server");
      return { serverId: answer.server_id };
    },

    /** One round: entries up, entries down. @param {Omit<Question, "app" | "protocol">} question @param {string | null} serverId @returns {Promise<Answer>} */
    async sync({ events, ...rest }, serverId) {
      /** @type {Question} */
      const question = { ...rest, app: appVersion(), protocol: PROTOCOL, events };
      const answer = await readJson(await send("POST", "/api/sync", question));
      if (!isAnswer(answer)) throw notOurs("the answer to a round is not one");
      if (serverId !== null && answer.server_id !== serverId) throw notOurs("another server answered");
      if ((answer.protocol ?? 1) < MIN_SERVER) throw new ServerError("server-old", "The server is older than this app can work with.");
      return answer;
    },

    /** Procedures by their hash; other bytes than those are refused. @param {string} hash @returns {Promise<string>} */
    async catalog(hash) {
      const response = await send("GET", `/api/catalog/${encodeURIComponent(hash)}`);
      const bytes = await response.arrayBuffer();
      if ((await tellHash(bytes)) !== hash) throw notOurs("the procedures that came are not the ones asked for");
      return new TextDecoder().decode(bytes);
    },

    /** @param {Photo} photo */
    async putPhoto({ sha256, type, bytes }) {
      await send("PUT", photoAddress(sha256), new Blob([bytes], { type }));
    },
  };
}

/** The address of every module carries the version that it belongs to. */
function appVersion() {
  return /\/v\/([^/]+)\//.exec(import.meta.url)?.[1] ?? null;
}

/** @param {string} sha256 */
export function photoAddress(sha256) {
  return `/api/photos/${encodeURIComponent(sha256)}`;
}

/**
 * @param {"GET" | "POST" | "PUT" | "PATCH" | "DELETE"} method @param {string} address @param {object | Blob} [body]
 * @returns {Promise<Response>} a good one
 * @throws {ServerError}
 */
export async function send(method, address, body) {
  const isBlob = body instanceof Blob;
  /** @type {RequestInit} */
  const request = { method, credentials: "same-origin", cache: "no-store", redirect: "error", signal: AbortSignal.timeout(TIMEOUT_MS) };
  if (body) {
    request.body = isBlob ? body : JSON.stringify(body);
    request.headers = { "Content-Type": isBlob ? body.type : "application/json" };
  }
  const response = await fetch(address, request).catch((error) => {
    throw new ServerError("offline", `Nothing answered at ${address}.`, { cause: error });
  });
  if (response.ok) return response;
  if (response.status === 401) throw new ServerError("unpaired", "The server does not know this phone.");
  if (response.status >= 500) throw new ServerError("offline", `The server failed at ${address} (${response.status}).`);
  const problem = await response.json().catch(() => ({}));
  if (problem.code === "app_too_old") throw new ServerError("app-old", "The server no longer serves apps as old as this one.");
  const message = typeof problem.message === "string" ? problem.message : `The server refused ${address} (${response.status}).`;
  throw new ServerError("refused", message, { next: typeof problem.next === "string" ? problem.next : "" });
}

/** @param {Response} response @returns {Promise<Record<string, unknown>>} */
export async function readJson(response) {
  const answer = await response.json().catch((error) => {
    throw notOurs("what came is not JSON", error);
  });
  if (typeof answer !== "object" || answer === null) throw notOurs("what came is not an object");
  return answer;
}

/** @param {string} reason @param {unknown} [cause] */
export function notOurs(reason, cause) {
  return new ServerError("offline", `What answers at this address is not this phone's server: ${reason}.`, { cause });
}

/** @param {any} value @returns {value is Answer} */
function isAnswer(value) {
  return (
    [value.epoch, value.server_id, value.catalog].every((text) => typeof text === "string") &&
    [value.ack, value.cursor, value.server_now].every((number) => typeof number === "number") &&
    [value.accepted, value.refused, value.events].every(Array.isArray) &&
    typeof value.more === "boolean"
  );
}
