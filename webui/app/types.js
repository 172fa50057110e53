/**
 * What crosses the border between the app and its screens. Only types: nothing here runs.
 *
 * The names inside catalogs, events and folds are those of the JSON (snake_case); the app's own are camelCase.
 */

/** @import { Catalog, Composition, Event, Value, VehicleFact, Visit } from "../core/types.js" */
/** @import { CarFold, FactSource } from "../core/car.js" */
/** @import { FactJudgement } from "../core/judgement.js" */
/** @import { SheetError, SheetJudgement } from "../core/sheet.js" */
/** @import { Preferences } from "./preferences.js" */
/** @import { Refusal } from "../storage/refusals.js" */

/**
 * @typedef {object} Open a visit that is loaded: everything a screen needs to show it
 * @property {string} id
 * @property {Catalog} catalog the one it began with, whatever the app's newest is
 * @property {string} catalogHash
 * @property {{ id: string, title: string, plate: string }} car
 * @property {string[]} jobs
 * @property {Composition} composition
 * @property {Record<string, VehicleFact>} carFacts the car's facts as they stood when the visit began, with their sources
 * @property {Record<string, Value>} settings how it is done, as far as anybody said when the visit began
 * @property {Record<string, Value>} facts plain values of facts and visit settings: what compose and fold take
 * @property {Visit} visit what the events say: the fold
 * @property {Event[]} events in clock order
 */

/**
 * @typedef {object} Summary one visit in a list
 * @property {string} id
 * @property {{ id: string, title: string, plate: string }} car
 * @property {string[]} jobs
 * @property {Record<string, Value>} settings how it was done, as far as anybody said
 * @property {string} by
 * @property {string} openedAt local time with offset
 * @property {string | null} closedAt
 * @property {number} odometer_m
 */

/**
 * @typedef {object} Car
 * @property {string} id
 * @property {string} title
 * @property {string} plate
 * @property {string} note
 * @property {{ value: number, shown: string }} odometer in metres, and as written
 * @property {string} owner who it belongs to and what they are after
 * @property {Record<string, VehicleFact>} facts those that stand; one in dispute is not among them
 * @property {CarFold | null} own everything about a car that was typed in; null for a demo car
 * @property {Summary | null} openVisit the newest visit not closed
 * @property {Summary | null} lastVisit the newest closed one
 */

/** @typedef {import("./inventory.js").InventoryActions} InventoryActions */
/** @typedef {ReturnType<typeof import("./plan-ground.js").createPlanGround>} PlanGround what a plan stands on beside the car */
/** @typedef {{ id: string, fold: CarFold, facts: Record<string, VehicleFact> }} OwnCar */
/** @typedef {{ title?: string, plate?: string, note?: string, vin?: string, market?: string, because?: string, by?: string }} CarWords */
/** @typedef {{ fact: string, value: Value, typed?: string, unit?: string, source: FactSource, because?: string, doubt?: string, by?: string }} FactDraft value in SI; doubt: the answer to why it is odd */
/** @typedef {{ judgement: FactJudgement, event: Event | null }} Written event: null when it was not recorded, because it is refused, or odd and nobody said why */
/** @typedef {{ asNew?: boolean, isOwn?: boolean, by?: string }} ImportChoice asNew: another car like it; isOwn: the marks of the sheet are this owner's */

/**
 * @typedef {object} Garage the owner's own cars, and what the house has at hand; what it records is durable when the promise resolves
 * @property {import("./inventory.js").InventoryActions} inventory things, prices, and what is planned for a car
 * @property {() => Promise<void>} load
 * @property {(ids: string[] | undefined) => Promise<void>} reload
 * @property {(event: Event) => void} add
 * @property {(id: string) => boolean} has
 * @property {() => OwnCar[]} list
 * @property {(told: CarWords & { title: string, plate: string }) => Promise<string>} addCar the new car's id
 * @property {(id: string) => Promise<import("../core/history.js").CarHistory>} readHistory of a demo car too
 * @property {(id: string, kind: string, payload: Record<string, any>) => Promise<Event>} note an entry about any car: done elsewhere, a policy, a meter
 * @property {(id: string, told: CarWords) => Promise<Event>} describeCar
 * @property {(id: string, draft: FactDraft) => Promise<Written>} writeFact
 * @property {(visitId: string, draft: FactDraft & { step?: string }) => Promise<Written>} giveFact
 * @property {(id: string, fact: string, because: string, by?: string) => Promise<Event>} withdrawFact
 * @property {(id: string, fact: string, event: string, by?: string) => Promise<Event>} confirmFact event: the fact-written that holds
 * @property {(id: string, reading: { value: number, typed: string, unit: string, by?: string }) => Promise<Event>} readOdometer
 * @property {(id: string, event: string) => Promise<Event>} undoInCar
 * @property {(id: string, draft: FactDraft) => FactJudgement} judge
 * @property {(id: string) => File} exportSheet
 * @property {(text: string, choice?: ImportChoice) => Promise<{ id: string | null, errors: SheetError[], judgement: SheetJudgement | null }>} importSheet
 */

/**
 * @typedef {object} SyncState
 * @property {"idle" | "busy" | "offline" | "refused" | "unpaired" | "app-old" | "server-old"} state "refused": some entries were not taken and stay here
 * @property {number} waiting entries and photos not yet on the server
 * @property {number} waitingPhotos how many of these are photos
 * @property {number | null} lastAt ms, this phone's clock, of the last round that succeeded
 * @property {number} clockOffset_ms server's clock less this phone's
 * @property {Refusal[]} refusals
 * @property {string | null} problem what the last failed round said
 * @property {() => Promise<void>} now try at once, because a person asked
 */

/**
 * @typedef {object} StorageState
 * @property {boolean} persisted the browser has promised not to throw the data away
 * @property {number | null} used_bytes null where the browser does not say
 * @property {number | null} left_bytes
 * @property {boolean} isTight little room is left: photos may soon not fit
 * @property {number} lifeboat entries that only the emergency store holds: show the red bar while it is not 0
 * @property {"full" | "lost" | "blocked" | "refused" | null} trouble why the last write failed; null once one succeeds
 */

/**
 * @typedef {object} UpdateState
 * @property {boolean} ready a newer version is here and waits for consent
 * @property {() => Promise<void>} take use it now (the page reloads); refused while a visit is open
 */

/**
 * @typedef {object} InstallState
 * @property {boolean} isInstalled it runs as an app of its own
 * @property {(() => Promise<void>) | null} take what the browser's own offer does; null where it makes none
 */

/** @typedef {import("./house.js").House} House the server and its phones */
/** @typedef {import("../sync/house.js").Device} Device */
/** @typedef {import("../sync/house.js").Link} Link */
/** @typedef {import("../sync/house.js").Code} Code */
/** @typedef {import("../sync/house.js").Keeping} Keeping */
/** @typedef {import("../sync/house.js").Role} Role */

/** @typedef {{ carId: string, jobs: string[], settings: Record<string, Value>, odometer_m: number, by: string }} Order what a visit begins with */

/**
 * @typedef {object} App
 * @property {Catalog | null} catalog the newest this phone holds; null before the first
 * @property {string | null} catalogHash
 * @property {{ paired: boolean, name: string, device: string | null, openVisits: string[] }} me openVisits: those this phone took part in, the latest last
 * @property {typeof import("./words.js").words} words
 * @property {() => Car[]} cars own ones first; these only after loadGarage
 * @property {() => Promise<Garage>} loadGarage the owner's own cars and all that is done with them; the shell waits for it before screens of cars
 * @property {() => Summary[]} visits newest first
 * @property {(id: string) => Open | null} visit a loaded visit; the router loads the one in the address before its screen is made
 * @property {(id: string) => Promise<Open | null>} loadVisit
 * @property {(order: Order) => Promise<string>} openVisit the new visit's id
 * @property {(visitId: string, kind: string, payload: Record<string, any>) => Promise<Event>} record resolves only when the entry is durable
 * @property {(visitId: string, eventId: string) => Promise<Event>} undo
 * @property {(visitId: string, step: string, file: Blob, signature?: { by?: string }) => Promise<Event>} addPhoto
 * @property {(visitId: string, kind: string, payload: (sha256: string) => Record<string, any>, file: Blob) => Promise<Event>} recordWithPhoto an entry that a photo belongs to: a label, a receipt
 * @property {(sha256: string) => Promise<string>} photoAddress an address for <img>; a blob: one is the caller's to revoke
 * @property {(sha256: string) => Promise<string>} thumbnailAddress the same, small, where this phone took the photo
 * @property {(code: string, name?: string) => Promise<void>} pair name: what people call this phone, not who works with it
 * @property {() => Promise<House>} loadHouse the server and its phones; needs the server for everything
 * @property {() => Promise<import("./export.js").Export>} exportUnsent everything not yet on the server, photos too, as JSON lines
 * @property {SyncState} sync
 * @property {StorageState} storage
 * @property {UpdateState} update
 * @property {InstallState} install
 * @property {() => Promise<void>} keepSafe ask the browser to keep what is here, because a person asked
 * @property {Preferences} preferences how this phone's person likes it
 * @property {(wishes: Partial<Preferences>) => void} prefer change it, at once and for good
 * @property {(hash: string) => void} go
 * @property {(hash: string) => void} goInstead where this address shows something else by now: the way back passes it by
 * @property {(listener: () => void) => () => void} subscribe called after every change; returns how to stop
 */

/**
 * What a module in screens/ exports, under the names CarsScreen, PlanScreen, WorkScreen, OpenScreen, RecordScreen.
 *
 * @typedef {(app: App, params: { car: string, visit: string }) => Screen} MakeScreen
 * @typedef {{ root: HTMLElement, update: () => void, dispose?: () => void }} Screen
 */

export {};
