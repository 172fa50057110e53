/** Words for a phone whose clock was set while a wait was running. */

export const clockSet = {
  title: "How long has it really run?",
  forward: (/** @type {string} */ by) => `The phone’s clock was set forward by ${by} while this ran.`,
  back: (/** @type {string} */ by) => `The phone’s clock was set back by ${by} while this ran.`,
  ahead: (/** @type {string} */ at) => `It began at ${at} by a clock that was ahead: that is yet to come.`,
  byRunning: (/** @type {string} */ span) => `${span}, as seen here`,
  byClock: (/** @type {string} */ span) => `${span}, by the clock`,
  fromNow: "Count from now",
  readings: "The phone’s clock was set. When the last reading was made cannot be told: read again.",
};
