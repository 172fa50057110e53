/**
 * A photo made small and anonymous before it is kept: 1600 px on its longer edge, and drawn anew, so that the place
 * and time that cameras write into the file are gone. A much smaller one is made beside it, for lists.
 */

/** @import { Taken } from "../storage/photos.js" */

import { tellHash } from "../storage/hashes.js";
import { eraseLocation } from "./photo-location.js";

const LONGER_EDGE_PX = 1600;
const SMALL_EDGE_PX = 320;
const QUALITY = 0.8;

/** One at a time: a phone has room for one large picture. @type {Promise<unknown>} */
let turn = Promise.resolve();

/** @param {Blob} file @returns {Promise<Taken>} */
export function preparePhoto(file) {
  const mine = turn.then(() => prepare(file));
  turn = mine.catch(() => {});
  return mine;
}

/** @param {Blob} file @returns {Promise<Taken>} */
async function prepare(file) {
  const drawn = await redraw(file, LONGER_EDGE_PX).catch(() => null);
  if (!drawn) return keepAsItIs(file);
  const small = await redraw(drawn, SMALL_EDGE_PX).then((blob) => blob.arrayBuffer(), () => null);
  const bytes = await drawn.arrayBuffer();
  return { sha256: await tellHash(bytes), type: drawn.type, bytes, small };
}

/** @param {Blob} file @param {number} longerEdge_px @returns {Promise<Blob>} */
async function redraw(file, longerEdge_px) {
  const { width, height } = await readSize(file);
  const scale = Math.min(1, longerEdge_px / Math.max(width, height));
  /** @type {ImageBitmapOptions} */
  const wanted = { imageOrientation: "from-image" };
  // Scaled while decoding: phones refuse to draw the full picture on a canvas and give a black one.
  if (scale < 1) Object.assign(wanted, { resizeWidth: Math.round(width * scale), resizeQuality: "high" });
  const bitmap = await createImageBitmap(file, wanted);
  const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
  /** @type {OffscreenCanvasRenderingContext2D} */ (canvas.getContext("2d")).drawImage(bitmap, 0, 0);
  bitmap.close();
  const drawn = await canvas.convertToBlob({ type: "image/jpeg", quality: QUALITY });
  canvas.width = canvas.height = 0;
  return drawn;
}

/** @param {Blob} file @returns {Promise<{ width: number, height: number }>} as it will be shown, upright */
async function readSize(file) {
  const image = new Image();
  const address = URL.createObjectURL(file);
  try {
    image.src = address;
    await image.decode();
    return { width: image.naturalWidth, height: image.naturalHeight };
  } finally {
    URL.revokeObjectURL(address);
  }
}

/** Some phones make pictures that others cannot decode; better the original than none, without the place it tells. @param {Blob} file @returns {Promise<Taken>} */
async function keepAsItIs(file) {
  const bytes = await file.arrayBuffer();
  eraseLocation(bytes);
  return { sha256: await tellHash(bytes), type: file.type || "application/octet-stream", bytes };
}
