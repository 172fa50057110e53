/** Bytes as hexadecimal text, and the hash that names procedures and photos. */

/** @param {Uint8Array} bytes */
export function toHex(bytes) {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {BufferSource} bytes @returns {Promise<string>} sha256 in hexadecimal */
export async function tellHash(bytes) {
  return toHex(new Uint8Array(await crypto.subtle.digest("SHA-256", bytes)));
}
