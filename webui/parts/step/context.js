/**
 * What every kind of step gets from the Work screen, and what it gives back. Also the few things more than one kind does.
 */

/** @import { Event, Instance, Step } from "../../core/types.js" */
/** @import { App, Open } from "../../app/types.js" */
/** @import { Knowledge } from "../texts/known.js" */

import { element } from "../../dom/element.js";
import { filledText } from "../texts/known.js";
import { Button } from "../controls/press.js";

/**
 * @typedef {object} StepContext
 * @property {App} app
 * @property {string} visitId
 * @property {Instance} instance
 * @property {Step} step
 * @property {string} item words for the item, "front left"
 * @property {() => Open} open as it is now
 * @property {() => Knowledge} knowledge
 * @property {(kind: string, payload: Record<string, unknown>) => Promise<Event | null>} record null when it could not be kept; the person has been told
 * @property {(more?: { finding?: string, note?: string }) => Promise<unknown>} finish the step is done
 * @property {(finding?: string) => Promise<unknown>} goBack to where `back` leads, and what was found that did
 * @property {{ find: () => Promise<string | null>, go: (instance: string) => void }} meanwhile what may be done while this waits, and how to get there
 * @property {() => void} redraw
 */

/**
 * @typedef {object} StepKind what a kind of step adds to the card
 * @property {Element | null} picture at most one drawing
 * @property {HTMLElement | null} panel the step's own number or list, under the drawing
 * @property {HTMLElement} foot the action, in reach of the thumb
 * @property {boolean} [hasOwnNumber] the panel holds the hero; what the step shows moves to the lines
 * @property {() => boolean} [isEntering] a number is being typed: everything else makes room
 * @property {() => void} update complete and idempotent
 * @property {() => void} [dispose]
 */

/** @param {StepContext} context @param {string} text */
export function fill(context, text) {
  return filledText(context.knowledge(), text, context.item);
}

/**
 * The one large button; its words say what becomes true.
 *
 * @param {StepContext} context
 * @param {string} [text]
 * @param {() => unknown} [action]
 */
export function ActionButton(context, text = context.step.does, action = () => context.finish()) {
  return Button({ class: "action" }, action, fill(context, text));
}

/** The action and, smaller beside it, the other thing one may do. @param {HTMLElement} action @param {HTMLElement} other */
export function Pair(action, other) {
  return element("div", { class: "pair" }, action, other);
}

/** @param {...(HTMLElement | null)} children */
export function Foot(...children) {
  return element("div", { class: "kind-foot" }, ...children);
}

/** In the place of the action, while nothing but time brings it on. @param {string} says */
export function Waiting(says) {
  const waiting = Button({ class: "action" }, () => {}, says);
  waiting.setAttribute("aria-disabled", "true");
  return waiting;
}
