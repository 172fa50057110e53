/**
 * A photo made small and anonymous before it is kept: 1600 px on its longer edge, and drawn anew, so that the place
 * and time that cameras write into the file are gone.
 */

/** @import { Photo } from "../storage/photos.js" */

import { tellHash } from "../storage/hashes.js";

const LONGER_EDGE_PX = 1600;
const QUALITY = 0.8;

/** @param {Blob} file @returns {Promise<Photo>} */
export async function preparePhoto(file) {
  const { type, bytes } = await redraw(file).catch(() => keepAsItIs(file));
  return { sha256: await tellHash(bytes), type, bytes };
}

/** @param {Blob} file */
async function redraw(file) {
  const { width, height } = await readSize(file);
  const scale = Math.min(1, LONGER_EDGE_PX / Math.max(width, height));
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
  return { type: drawn.type, bytes: await drawn.arrayBuffer() };
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

/** Some phones make pictures that others cannot decode; better the original than none. @param {Blob} file */
async function keepAsItIs(file) {
  return { type: file.type || "application/octet-stream", bytes: await file.arrayBuffer() };
}
