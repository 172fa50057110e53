/**
 * Where a picture was taken, taken out of it. Most are drawn anew and lose everything that the camera wrote; one that
 * this browser cannot decode is kept as it is, and only this is blanked, in place, whatever the container.
 */

// Exif 2.32, 4.5.2: "Exif", two noughts, then a TIFF header. Tag 0x8825 of the first directory points to the GPS one.
const EXIF = [0x45, 0x78, 0x69, 0x66, 0, 0];
const GPS_TAG = 0x8825;
const ENTRY_BYTES = 12;
/** Bytes of one value, by the type that TIFF gives it. @type {Record<number, number>} */
const SIZES = { 1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1, 9: 4, 10: 8 };

/** Blank it. @param {ArrayBuffer} bytes changed in place */
export function eraseLocation(bytes) {
  const all = new Uint8Array(bytes);
  for (let at = find(all, EXIF, 0); at >= 0; at = find(all, EXIF, at + 1)) eraseFromTiff(new DataView(bytes, at + EXIF.length));
  eraseFromPacket(all);
}

/** @param {Uint8Array} all @param {number[]} wanted @param {number} from */
function find(all, wanted, from) {
  const [first = 0] = wanted;
  for (let at = all.indexOf(first, from); at >= 0; at = all.indexOf(first, at + 1)) {
    if (wanted.every((byte, index) => all[at + index] === byte)) return at;
  }
  return -1;
}

/** @param {DataView} tiff */
function eraseFromTiff(tiff) {
  try {
    const isLittle = tiff.getUint16(0) === 0x4949;
    const gps = entriesAt(tiff, tiff.getUint32(4, isLittle), isLittle).find(({ tag }) => tag === GPS_TAG);
    if (!gps) return;
    for (const { at, type, count } of entriesAt(tiff, tiff.getUint32(gps.at + 8, isLittle), isLittle)) {
      const length = (SIZES[type] ?? 1) * count;
      if (length > 4) blank(tiff, tiff.getUint32(at + 8, isLittle), length);
      blank(tiff, at, ENTRY_BYTES);
    }
    blank(tiff, gps.at + 4, ENTRY_BYTES - 4);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error; // an offset that leads out of the file: nothing can be read there either
  }
}

/** @param {DataView} tiff @param {number} start @param {boolean} isLittle */
function entriesAt(tiff, start, isLittle) {
  const count = tiff.getUint16(start, isLittle);
  return Array.from({ length: count }, (_, index) => {
    const at = start + 2 + index * ENTRY_BYTES;
    return { at, tag: tiff.getUint16(at, isLittle), type: tiff.getUint16(at + 2, isLittle), count: tiff.getUint32(at + 4, isLittle) };
  });
}

/** @param {DataView} tiff @param {number} start @param {number} length */
function blank(tiff, start, length) {
  new Uint8Array(tiff.buffer, tiff.byteOffset + start, length).fill(0);
}

/** The same once more, as text, in a packet of XMP: as an attribute or between tags. @param {Uint8Array} all */
function eraseFromPacket(all) {
  const ends = [..."\"'<>"].map((letter) => letter.charCodeAt(0));
  const isEnd = /** @param {number | undefined} byte */ (byte) => byte === undefined || ends.includes(byte);
  for (const name of ["exif:GPSLatitude", "exif:GPSLongitude"]) {
    const letters = [...name].map((letter) => letter.charCodeAt(0));
    for (let at = find(all, letters, 0); at >= 0; at = find(all, letters, at + 1)) {
      let index = at + letters.length;
      while (!isEnd(all[index])) index++;
      for (index++; !isEnd(all[index]); index++) all[index] = 0x20;
    }
  }
}
