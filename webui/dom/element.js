/**
 * The one way markup is made. Strings become text nodes, so nothing that a person or a server wrote is ever read
 * as markup; the content policy forbids the other ways.
 */

/** @typedef {Node | string | number | null | undefined | false} Child what may stand inside an element; nothing shows for null, undefined and false */
/** @typedef {string | number | boolean | null | undefined | ((event: any) => void)} Attribute */

const SVG = "http://www.w3.org/2000/svg";

/**
 * Make an element.
 *
 * An attribute whose name starts with "on" and whose value is a function listens; true sets an empty attribute;
 * false, null and undefined leave it out. A few names that live only as properties (value, checked, …) are set so.
 *
 * @template {keyof HTMLElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Record<string, Attribute>} [attributes]
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[Tag]}
 */
export function element(tag, attributes = {}, ...children) {
  return furnish(document.createElement(tag), attributes, children);
}

/**
 * Make an element of a drawing.
 *
 * @template {keyof SVGElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Record<string, Attribute>} [attributes]
 * @param {...Child} children
 * @returns {SVGElementTagNameMap[Tag]}
 */
export function svg(tag, attributes = {}, ...children) {
  return furnish(/** @type {SVGElementTagNameMap[Tag]} */ (document.createElementNS(SVG, tag)), attributes, children);
}

const PROPERTIES = new Set(["value", "checked", "disabled", "hidden", "selected"]);

/**
 * @template {Element} Made
 * @param {Made} made
 * @param {Record<string, Attribute>} attributes
 * @param {Child[]} children
 * @returns {Made}
 */
function furnish(made, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") made.addEventListener(name.replace(/^on/, ""), value);
    else if (PROPERTIES.has(name) && name in made) Reflect.set(made, name, value ?? "");
    else if (value !== null && value !== undefined && value !== false) {
      made.setAttribute(name, value === true ? "" : String(value));
    }
  }
  made.append(...children.filter(isShown).map(asNodeOrText));
  return made;
}

/** @param {Child} child @returns {child is Node | string | number} */
function isShown(child) {
  return child !== null && child !== undefined && child !== false;
}

/** @param {Node | string | number} child */
function asNodeOrText(child) {
  return child instanceof Node ? child : String(child);
}
