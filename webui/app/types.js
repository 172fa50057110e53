/**
 * What crosses the border between the app and its screens. Only types: nothing here runs.
 *
 * The names inside catalogs, events and folds are those of the JSON (snake_case); the app's own are camelCase.
 */

/** @typedef {number | string | boolean | string[]} Value a fact, a reading or a setting; numbers are in SI base units */

/**
 * An immutable entry of the log.
 *
 * @typedef {object} Event
 * @property {string} id UUIDv7, made on the phone
 * @property {string} device
 * @property {number} n the device's own count, without gaps
 * @property {{ ms: number, c: number }} hlc hybrid logical clock: order
 * @property {number} seen the newest server sequence the device knew
 * @property {string} wall local time with offset: display only
 * @property {string} kind
 * @property {number} v
 * @property {string} subject the visit's id
 * @property {Record<string, any>} payload
 * @property {number} [seq] given by the server, in commit order
 * @property {string} [received_at]
 */

/** @typedef {{ kind: string, reference: string }} Source where a vehicle's value was found */
/** @typedef {{ value: Value, shown: string | null, unit: string | null, source: Source }} Fact a vehicle's value of a fact */

/**
 * @typedef {object} Instance one step of a visit; steps with `each` give one per item
 * @property {string} id "job/step" or "job/step@item"
 * @property {string} step "job/step"
 * @property {string | null} item
 * @property {number} index
 * @property {number} of
 */

/** @typedef {{ steps: Instance[], variables: Record<string, string>, missing: string[] }} Composition */

/**
 * @typedef {object} Fold what the events say about the car
 * @property {Record<string, string>} variables
 * @property {Record<string, { status: "done" | "skipped", event: string, at: string, device: string, by?: string, finding?: string, reason?: string }>} steps by instance id
 * @property {Record<string, { value: number, step: string, event: string, at: string, device: string }[]>} readings
 * @property {Record<string, Value>} values
 * @property {Record<string, { started_ms: number, least_s: number | null, most_s: number | null, position?: string, event: string }>} timers by instance id
 * @property {Record<string, string[]>} photos sha256 of each, by instance id
 * @property {any[]} overrides
 * @property {{ variable: string, values: string[], events: string[] }[]} contradictions
 * @property {{ name: string, step: string, events: string[] }[]} disputed_readings
 * @property {string | null} next
 * @property {Event | null} opened
 * @property {Event | null} closed
 * @property {string[]} undone
 * @property {number} unknown
 */

/** @typedef {any} Catalog the proved procedures, one JSON document named by the hash of its content */

/**
 * @typedef {object} Open a visit that is loaded: everything a screen needs to show it
 * @property {string} id
 * @property {Catalog} catalog the one it began with, whatever the app's newest is
 * @property {string} catalogHash
 * @property {{ id: string, title: string, plate: string }} car
 * @property {string[]} jobs
 * @property {Composition} composition
 * @property {Record<string, Fact>} carFacts the car's facts as they stood when the visit began, with their sources
 * @property {Record<string, Value>} facts plain values of facts and visit settings: what compose, fold and evaluate take
 * @property {Fold} visit
 * @property {Event[]} events in clock order
 */

/**
 * @typedef {object} Summary one visit in a list
 * @property {string} id
 * @property {{ id: string, title: string, plate: string }} car
 * @property {string[]} jobs
 * @property {string} by
 * @property {string} openedAt local time with offset
 * @property {string | null} closedAt
 * @property {number} odometer_m
 * @property {boolean} isReadable false while this phone lacks the catalog the visit began with
 */

/**
 * @typedef {object} Car
 * @property {string} id
 * @property {string} title
 * @property {string} plate
 * @property {string} note
 * @property {string} odometer as written, such as "84210 km"
 * @property {Record<string, Fact>} facts
 * @property {Summary | null} openVisit the newest visit not closed
 * @property {Summary | null} lastVisit the newest closed one
 */

/**
 * @typedef {object} SyncState
 * @property {"idle" | "busy" | "offline" | "refused" | "unpaired"} state "refused": some entries were not taken and stay here
 * @property {number} waiting entries and photos not yet on the server
 * @property {number | null} lastAt ms, this phone's clock, of the last round that succeeded
 * @property {number} clockOffset_ms server's clock less this phone's
 * @property {Refusal[]} refusals
 * @property {() => Promise<void>} now try at once, because a person asked
 */

/** @typedef {{ id: string, code: string, message: string, next: string }} Refusal an entry the server did not take; it stays on this phone */

/**
 * @typedef {object} StorageState
 * @property {boolean} persisted the browser has promised not to throw the data away
 * @property {number} lifeboat entries that only the emergency store holds: show the red bar while it is not 0
 * @property {"full" | "lost" | "blocked" | null} trouble why the last write failed; null once one succeeds
 */

/**
 * @typedef {object} UpdateState
 * @property {boolean} ready a newer version is here and waits for consent
 * @property {() => Promise<void>} take use it now (the page reloads); refused while a visit is open
 */

/**
 * @typedef {object} App
 * @property {Catalog | null} catalog the newest this phone holds; null before the first
 * @property {string | null} catalogHash
 * @property {{ paired: boolean, name: string, device: string | null }} me
 * @property {typeof import("./words.js").words} words
 * @property {() => Car[]} cars
 * @property {() => Summary[]} visits newest first
 * @property {(id: string) => Open | null} visit a loaded visit; the router loads the one in the address before its screen is made
 * @property {(id: string) => Promise<Open | null>} loadVisit
 * @property {(order: { carId: string, jobs: string[], settings: Record<string, Value>, odometer_m: number, by: string }) => Promise<string>} openVisit
 * @property {(visitId: string, kind: string, payload: Record<string, any>) => Promise<Event>} record resolves only when the entry is durable
 * @property {(visitId: string, eventId: string) => Promise<Event>} undo
 * @property {(visitId: string, step: string, file: Blob) => Promise<Event>} addPhoto
 * @property {(sha256: string) => Promise<string>} photoAddress an address for <img>
 * @property {(code: string) => Promise<void>} pair
 * @property {() => Promise<File>} exportUnsent everything not yet on the server, as JSON lines
 * @property {SyncState} sync
 * @property {StorageState} storage
 * @property {UpdateState} update
 * @property {(hash: string) => void} go
 * @property {(listener: () => void) => () => void} subscribe called after every change; returns how to stop
 */

/**
 * What a module in screens/ exports, under the names CarsScreen, PlanScreen, WorkScreen, OpenScreen, RecordScreen.
 *
 * @typedef {(app: App, params: { car: string, visit: string }) => Screen} MakeScreen
 * @typedef {{ root: HTMLElement, update: () => void, dispose?: () => void }} Screen
 */

export {};
