/** What used fluids are called, by the stream they are collected in. */

/** @type {Record<string, string>} */
const STREAMS = { "used-oil": "used oil", "used-coolant": "used coolant", "brake-fluid": "used brake fluid" };

/** As it stands in a sentence; a stream of one's own specs by its own name. @param {string} stream */
export function streamName(stream) {
  return STREAMS[stream] ?? stream.replaceAll("-", " ");
}

/** As it begins a line. @param {string} stream */
export function streamTitle(stream) {
  const name = streamName(stream);
  return `${name.charAt(0).toUpperCase()}${name.slice(1)}`;
}
