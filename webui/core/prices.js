/**
 * What a price is the price of: one name each, so that what was typed on one screen, or for one car, counts on all.
 *
 * Packs go by the fluid and the approval they carry, parts by their number; only where no number was typed does a part
 * belong to one car.
 */

/** @import { Supply } from "./types.js" */

/** What an hour of one's own time is worth. */
export const HOUR = "hour";
/** Written with the value 1, only to say in which currency prices are. */
export const CURRENCY = "currency";

/** @param {string} kind of specs/equipment.toml */
export const toolPrice = (kind) => `tool:${kind}`;
/** @param {string} stream of used fluids */
export const wastePrice = (stream) => `waste:${stream}`;
/** @param {string} car @param {string} job */
export const quotePrice = (car, job) => `quote:${car}:${job}`;
/** @param {Supply} supply @param {string} approval @param {string} size as the specs write it, "5 l" */
export const packPrice = (supply, approval, size) => `pack:${supply.fluid ?? supply.title}:${approval}:${size}`;
/** @param {string} number "" where none was typed @param {string} car @param {string} supply id of the job and of the supply */
export const partPrice = (number, car, supply) => (number ? `part:${number}` : `part:${car}:${supply}`);
