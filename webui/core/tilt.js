/**
 * How far something leans, from what a phone lying on it feels. "Up" is a vector of length 1 in the phone's own axes:
 * x to its right edge, y to its top edge, z out of its screen. Angles are radians.
 */

/** @typedef {{ x: number, y: number, z: number }} Up */
/** @typedef {{ lengthwise: number, crosswise: number }} Tilt lengthwise: positive when the top edge is high; crosswise: when the right edge is */

/**
 * Which way is up, from the two angles that a browser gives. Its rotation is Z-X'-Y''; how the phone is turned about
 * the vertical does not matter.
 *
 * @param {number} beta degrees, about x
 * @param {number} gamma degrees, about the turned y
 * @returns {Up}
 * Source: W3C Device Orientation and Motion, "Worked example": the last row of the rotation matrix.
 */
export function upOf(beta, gamma) {
  const [b, g] = [(beta * Math.PI) / 180, (gamma * Math.PI) / 180];
  return { x: -Math.cos(b) * Math.sin(g), y: Math.sin(b), z: Math.cos(b) * Math.cos(g) };
}

/**
 * The mean of several, which steadies a sensor that trembles.
 *
 * @param {Up[]} ups at least one
 * @returns {Up}
 */
export function meanUp(ups) {
  const sum = ups.reduce((all, up) => ({ x: all.x + up.x, y: all.y + up.y, z: all.z + up.z }), { x: 0, y: 0, z: 0 });
  const length = Math.hypot(sum.x, sum.y, sum.z);
  return { x: sum.x / length, y: sum.y / length, z: sum.z / length };
}

/**
 * What a phone with an error of its own feels on a truly level place: felt twice on one place, the second time turned
 * half round. What the place itself leans cancels out.
 *
 * @param {Up} first
 * @param {Up} turned
 */
export function zeroOf(first, turned) {
  return meanUp([first, turned]);
}

/**
 * The tilt against a zero: both axes, each as the incline of the phone's own edge.
 *
 * @param {Up} up
 * @param {Up} [zero] what it feels on the surface that counts as level
 * @returns {Tilt}
 */
export function tiltOf(up, zero = { x: 0, y: 0, z: 1 }) {
  return {
    lengthwise: Math.atan2(up.y, up.z) - Math.atan2(zero.y, zero.z),
    crosswise: Math.atan2(up.x, up.z) - Math.atan2(zero.x, zero.z),
  };
}
