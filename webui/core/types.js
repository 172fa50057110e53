/**
 * The shapes that cross borders: the catalog, a composed visit, its events and the state they fold to.
 * Only types: nothing here runs. Keys are those of the JSON, the same in Python.
 */

/** @typedef {number | string | boolean | string[]} Value a fact, setting or reading; numbers in SI base units */
/** @typedef {Record<string, Value | null | undefined>} Values what is known, by name */
/** @typedef {[string, ...any[]]} Tree an expression as nested arrays: ["+", ["name", "x"], ["number", 1.5]] */
/** @typedef {{ name: string, value: number, from: number | null, to: number | null }} OutOfRange */

/**
 * @typedef {{ value: Value, missing?: undefined, outside?: undefined, impossible?: undefined }
 *   | { missing: string[], value?: undefined, outside?: undefined, impossible?: undefined }
 *   | { outside: OutOfRange[], value?: undefined, missing?: undefined, impossible?: undefined }
 *   | { impossible: string, value?: undefined, missing?: undefined, outside?: undefined }} Outcome
 */

/** @typedef {{ document: string, page?: number | string | null, section?: string | null }} Citation */
/** @typedef {{ name: string }} Named a value looked up in the visit */
/** @typedef {{ value: number | string | boolean, shown: string }} Fixed a value written in the specs, in SI, beside what was typed */
/** @typedef {Named | Fixed} Amount */

/** @typedef {{ symbol: string, spoken: string, measure: string, decimals: number, systems?: string[], also?: string[], factor: number, offset: number }} Unit si = shown * factor + offset; older catalogs do not say whose unit it is nor how else it is written */
/** @typedef {{ id: string, title: string, order: number, facts?: string[] }} FactGroup facts: their names in the order in which they are asked; older catalogs do not say */

/**
 * @typedef {object} Fact
 * @property {string} group
 * @property {string} title
 * @property {"quantity" | "text" | "choice" | "list" | "yes-no"} kind
 * @property {string | null} unit
 * @property {number | null} from SI
 * @property {number | null} to SI
 * @property {number | null} odd_from SI
 * @property {number | null} odd_to SI
 * @property {string[]} [judges] judgement figures that question a number typed in; older catalogs have none
 * @property {{ job: string, by: "maker" | "component" | "severe" | "fluid" | "own", limit: "distance" | "time" | "hours" } | null} [interval] of which service the number says how long a filling lasts; older catalogs have none
 * @property {Record<string, string> | null} options
 * @property {string[]} [answers] their ids in the order in which they are offered; older catalogs do not say
 * @property {Tree | null} when
 * @property {Value | null} otherwise its value on a car it does not apply to
 * @property {"car" | "visit"} of "visit": a setting, asked when the visit is planned
 * @property {Value | null} default
 * @property {Citation | null} default_source
 * @property {string} where
 */

/** @typedef {{ title: string, colour: string, stream: string, family: string, caution: string, mixing: string }} Fluid */
/** @typedef {{ label: string, kind: "quantity" | "text" | "yes-no", unit: string | null, from: number | null, to: number | null, optional: boolean }} Input */
/** @typedef {{ label: string, unit: string, value: number, shown: string, source: Citation | null }} Constant */
/** @typedef {{ label: string, kind: "quantity" | "judgement", unit: string | null, round_to: number | null, yes: string | null, no: string | null }} Result */
/** @typedef {{ from: string, given: Record<string, string | number | boolean>, expect: string | number | boolean, within: string | number | null, source: Citation | null }} Example */

/**
 * @typedef {object} Formula
 * @property {string} title
 * @property {string} why
 * @property {string} expression as written
 * @property {Tree} tree
 * @property {Record<string, Input>} inputs
 * @property {Record<string, Constant>} constants
 * @property {Result} result
 * @property {Citation} source
 * @property {Example[]} examples
 */

/** @typedef {Omit<Input, "kind"> & { kind: Input["kind"] | "quantities" }} FunctionInput quantities are a list of numbers in one unit */
/** @typedef {{ label: string, kind: "quantity" | "quantities" | "text" | "yes-no", unit: string | null, round_to: number | null }} Part one thing that a function gives */

/**
 * @typedef {object} FunctionFormula a formula that no expression can say; see functions.js
 * @property {string} title
 * @property {string} why
 * @property {string} function
 * @property {Record<string, FunctionInput>} inputs
 * @property {Record<string, Constant>} constants
 * @property {Record<string, Part>} parts
 * @property {Citation} source
 * @property {{ from: string, given: Example["given"], expect: Example["given"], within: Record<string, string | number>, source: Citation | null }[]} examples
 */

/** @typedef {{ title: string, source: Citation, key: { label: string, unit: string }, value: { label: string, unit: string }, rows: [number, number][] }} Table */
/** @typedef {Record<string, Table>} Tables */
/** @typedef {{ title: string, says: string, level: "caution" | "danger" }} Hazard */

/**
 * @typedef {object} Rule something that holds at every moment
 * @property {string} id
 * @property {string} title
 * @property {string} reason
 * @property {Record<string, string[]>} while
 * @property {Record<string, string[]>} must
 * @property {Tree | null} when
 * @property {boolean} never it cannot be overridden
 */

/**
 * @typedef {object} Variable something about the car that steps change
 * @property {string} title
 * @property {"circuit" | "fluid" | "closure" | "part" | "condition"} kind
 * @property {string[]} values safest first
 * @property {string} starts
 * @property {string[]} ends
 * @property {string[]} [rests] those in which a car that cannot leave may be left standing, the best first; empty as ends
 * @property {Tree | null} when
 * @property {string | null} each the list fact that gives its items
 * @property {[number, number] | null} place plan view: 0..100 left to right, 0..200 front to rear
 * @property {string | null} circuit
 * @property {string | null} fluid
 * @property {string | null} torque
 * @property {string[]} one_time parts that must be new each time this is closed
 * @property {Record<string, string>} labels
 */

/** @typedef {{ id: string, title: string }} Phase */
/** @typedef {{ distance: Amount | null, time: Amount | null, authority: string, source: Citation }} Interval */
/** @typedef {{ id: string, title: string, says: string, step: string, distance: Amount | null, time: Amount | null }} Recheck something to look at after the visit, once the step was done */

/**
 * @typedef {object} Supply
 * @property {string} id
 * @property {string} title
 * @property {string | null} fluid
 * @property {string | null} approval
 * @property {string | null} grade
 * @property {Amount | null} quantity
 * @property {Fixed[]} packs
 * @property {string | null} part
 * @property {string | null} [number] the fact that holds its part number for this car
 * @property {Amount | null} count
 * @property {Tree | null} when
 */

/** @typedef {{ title: string, size: Named | { text: string } | null, kept?: string[], when: Tree | null }} Tool kept: kinds of the garage, one of which does */
/** @typedef {{ title: string, why: string, kept?: string[], count?: number, when: Tree | null }} Equipment the same, and how many are needed */
/** @typedef {{ label: string, unit: string, from: number, to: number }} Mark a number that a thing in the garage carries */
/** @typedef {{ title: string, group: string, order: number, where: string, counted: boolean, several: boolean, marks: Record<string, Mark> }} Kept a kind of thing that a garage may hold */

/**
 * @typedef {object} Job
 * @property {string} title
 * @property {string} summary
 * @property {number} order
 * @property {boolean} shared its steps come with the chosen jobs that use them
 * @property {Tree | null} when
 * @property {string[]} renews
 * @property {Record<string, Tree>} uses
 * @property {string} risk
 * @property {Record<string, Tree>} [reserved] hazards for whose sake it is always handed over, and on which cars
 * @property {string} stream
 * @property {"fine" | "with-equipment" | "hand-over"} home
 * @property {Interval[]} intervals
 * @property {Recheck[]} [rechecks] older catalogs have none
 * @property {Supply[]} supplies
 * @property {Tool[]} tools
 * @property {Equipment[]} equipment
 */

/** @typedef {{ formula: string, with: Record<string, Amount>, job: string }} Figure one use of a formula */
/** @typedef {{ step: string, label: string, unit: string, from: number, to: number, across: "last" | "sum" | "min" | "max" }} Reading */
/** @typedef {{ id: string, label: string, good: boolean, says: string }} Finding */
/** @typedef {{ to: string, says: string, makes: Record<string, string> }} Back */

/**
 * @typedef {object} Step
 * @property {string} id "job/step"
 * @property {string} job
 * @property {string} phase
 * @property {"act" | "measure" | "tighten" | "hold" | "cycle" | "watch" | "inspect"} kind
 * @property {string} title
 * @property {string} says
 * @property {string} does
 * @property {string} why
 * @property {Tree | null} when
 * @property {string | null} each
 * @property {string | null} block
 * @property {"under" | "beside" | "bonnet" | "cabin" | null} where
 * @property {Record<string, string[]>} needs
 * @property {Record<string, string>} makes
 * @property {string[]} hazards
 * @property {string | null} photo
 * @property {number} work_s
 * @property {number} wait_s
 * @property {string[]} [since] variables: its wait counts from the last change of any of them
 * @property {number} [people] how many it takes; one, if left out
 * @property {boolean} [meanwhile] it may be done in the wait of another step, also one that services share
 * @property {string | null} serves
 * @property {string | null} torque
 * @property {string[]} shows
 * @property {string[]} readings
 * @property {string[]} judges
 * @property {{ least: Amount | null, most: Amount | null } | null} hold
 * @property {string | null} positions
 * @property {{ reading: string, from: Amount, to: Amount, every_s: number } | null} window
 * @property {Finding[]} findings
 * @property {Back | null} back
 * @property {boolean} [standby] not in the order of the day; there to close the car up as it is
 */

/** @typedef {{ value: Value, shown: string | null, unit: string | null, source: { kind: string, reference: string }, confirmed?: boolean }} VehicleFact confirmed: false where it came with another's sheet and nobody has looked it up yet */
/** @typedef {{ title: string, plate: string, note: string, owner: string, odometer: Fixed, facts: Record<string, VehicleFact> }} Vehicle */
/** @typedef {{ title: string, publisher: string, edition: string, kind: string, note: string }} Source */

/**
 * @typedef {object} Catalog the proved procedures, one JSON document named by the hash of its content
 * @property {1} format
 * @property {Record<string, Unit>} units
 * @property {FactGroup[]} fact_groups
 * @property {Record<string, Fact>} facts
 * @property {Record<string, Fluid>} fluids
 * @property {Record<string, Formula>} formulas
 * @property {Record<string, FunctionFormula>} functions
 * @property {Tables} tables
 * @property {Record<string, Hazard>} hazards
 * @property {Record<string, Kept>} [equipment] what a garage may hold
 * @property {Rule[]} rules
 * @property {Record<string, Variable>} variables
 * @property {Phase[]} phases
 * @property {Record<string, Job>} jobs
 * @property {Record<string, Figure>} figures
 * @property {Record<string, Reading>} readings
 * @property {Step[]} steps in master order
 * @property {Record<string, Vehicle>} vehicles
 * @property {Record<string, Source>} sources
 */

/**
 * @typedef {object} Instance one step of a visit; a step with `each` gives one per item
 * @property {string} id "job/step" or "job/step@item"
 * @property {string} step "job/step"
 * @property {string | null} item
 * @property {number} index which of the items, from 0
 * @property {number} of how many items there are
 */

/**
 * @typedef {object} Composition what a visit consists of, whatever happens in it
 * @property {string[]} jobs chosen ones that apply to this car
 * @property {Instance[]} steps in order
 * @property {Record<string, string>} variables what this car has: "wheel@front-left" -> "wheel"
 * @property {string[]} missing names without which the visit cannot be told
 * @property {Record<string, Value>} facts as they hold here: defaults filled in, inapplicable ones at their `otherwise`
 * @property {Instance[]} standby steps outside the order of the day, with which the car can be closed up as it is
 */

/**
 * @typedef {object} Event an immutable entry of the log
 * @property {string} id UUIDv7, made on the phone
 * @property {string} device
 * @property {number} n the device's own count, without gaps
 * @property {Clock} hlc order
 * @property {number} seen the newest server sequence the device knew
 * @property {string} wall local time with offset: display only
 * @property {string} kind
 * @property {number} v
 * @property {string} subject the id of the visit or of the car, or "garage"
 * @property {Record<string, any>} payload
 * @property {number | null} [seq] given by the server, in commit order
 * @property {string | null} [received_at]
 */

/** @typedef {{ ms: number, c: number }} Clock hybrid logical clock */

/**
 * @typedef {object} StepStatus
 * @property {"done" | "skipped"} status
 * @property {string} event
 * @property {string} at wall time, for display
 * @property {string} device
 * @property {string | null} by
 * @property {string | null} finding
 * @property {string | null} note
 * @property {string | null} reason
 */

/** @typedef {{ value: number, typed: string, unit: string, step: string, event: string, at: string, device: string }} Taken one reading, as it was taken */
/** @typedef {{ started_ms: number, least_s: number | null, most_s: number | null, position: string | null, event: string, device: string }} Timer */
/** @typedef {{ step: string, stops: string[], reason: string, event: string, at: string, device: string }} Override */

/**
 * @typedef {object} GivenFact a number of the car that was given during the visit, with where it was found
 * @property {Value} value
 * @property {string | null} typed
 * @property {string | null} unit
 * @property {{ kind: string, reference: string }} source
 * @property {string | null} doubt what was answered when it was asked about
 * @property {string | null} step
 * @property {string} event
 * @property {string} at wall time, for display
 * @property {string} device
 * @property {string | null} by
 */

/** @typedef {{ fact: string, events: string[] }} DisputedFact writes of one fact, unseen by each other, that differ: it has no value */

/** @typedef {"to-stand" | "to-drive"} Aim how a car is closed up before the end of its visit: empty perhaps, or full */
/** @typedef {{ event: string, at: string, device: string, by: string | null }} Who an entry, with who made it and when */
/** @typedef {Who & { aim: Aim, steps: string[], again: Who | null }} ClosingUp one time a car was closed up before the end: by which steps, and who took the visit up again */
/** @typedef {{ closings: ClosingUp[], closing_up: ClosingUp | null, disputed_closing: string[] }} Closings closing_up: the one that goes on; disputed_closing: entries unseen by each other that say two things of it */

/**
 * @typedef {object} VisitBody
 * @property {Record<string, string>} variables the state of the car
 * @property {Record<string, StepStatus>} steps by instance id
 * @property {Record<string, Taken[]>} readings every one that was taken and not undone
 * @property {Record<string, Value>} values what formulas may use: facts, and over them the readings that stand
 * @property {Record<string, Timer>} timers by instance id
 * @property {Record<string, string[]>} photos sha256 of each, by instance id
 * @property {Override[]} overrides
 * @property {Record<string, string[]>} found the bad findings that led back, by instance id
 * @property {{ variable: string, values: string[], events: string[] }[]} contradictions
 * @property {{ name: string, step: string, events: string[] }[]} disputed_readings
 * @property {Record<string, GivenFact>} given by name of the fact
 * @property {DisputedFact[]} disputed_facts
 * @property {string | null} next the first step neither done nor skipped
 * @property {Event | null} opened
 * @property {Event | null} closed
 * @property {string[]} undone ids of events taken back
 * @property {number} unknown entries that need a newer app
 */

/** @typedef {VisitBody & Closings} Visit what the events say */

/**
 * @typedef {object} Stop why a step may not be done now
 * @property {"need" | "rule"} kind
 * @property {string} id of the rule, or of the variable that is needed
 * @property {string} variable
 * @property {string} found
 * @property {string[]} expected
 * @property {string} title
 * @property {string} reason
 * @property {boolean} never it cannot be overridden
 * @property {string | null} cure the instance that would put it right
 */

/** @typedef {{ variable: string, found: string, expected: string[], title: string }} Unfinished */
/** @typedef {{ figure: string, outcome: Outcome, holds: boolean | null, says: string | null }} Judgement */

export {};
