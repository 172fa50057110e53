/**
 * Where a number is from: its kind, which one, and the page. What was said last stands there already; without a source
 * nothing is kept.
 */

import { element } from "../../dom/element.js";
import { carWords } from "../../app/words/car.js";
import { SOURCE_KINDS } from "../../core/judgement.js";
import { keepSource, lastSource } from "./memory.js";
import { Button } from "../controls/press.js";

const WITH_PAGES = new Set(["makers-manual", "component-maker"]);

/** @param {{ onEnter: () => void, onShow: (isReady: boolean) => void }} actions onShow: whether there is a kind, so that the rest may be kept */
export function SourceField({ onEnter, onShow }) {
  const say = carWords.sheet;
  const last = lastSource();
  let kind = last?.kind ?? "";
  let isChoosing = kind === "";
  const kinds = element("div", { class: "choices", role: "radiogroup", "aria-label": say.source });
  const chosen = element("p", { class: "source-kind" });
  const another = Button({ class: "plain" }, chooseAnother, say.another);
  const head = element("div", { class: "source-head" }, chosen, another);
  const document = TextField("source-document", last?.document ?? "", "next", () => page.input.focus());
  const page = TextField("source-page", last?.page ?? "", "done", onEnter);
  const said = element("p", { class: "said", role: "alert" });
  const root = element("div", { class: "source" }, kinds, head, document.root, page.root, said);

  function show() {
    kinds.hidden = !isChoosing;
    head.hidden = isChoosing;
    document.root.hidden = isChoosing;
    page.root.hidden = isChoosing || !WITH_PAGES.has(kind);
    kinds.replaceChildren(...(isChoosing ? SOURCE_KINDS.map(KindChoice) : []));
    chosen.textContent = kindText(kind);
    document.label.textContent = /** @type {Record<string, string>} */ (say.references)[kind] ?? "";
    page.label.textContent = say.page;
    page.input.inputMode = "decimal";
    onShow(!isChoosing);
  }

  /** @param {string} id */
  function KindChoice(id) {
    const button = Button({ class: "second source-choice" }, () => choose(id), kindText(id));
    button.dataset.value = id;
    return button;
  }

  /** @param {string} id */
  function choose(id) {
    if (id !== kind) for (const field of [document, page]) field.input.value = "";
    kind = id;
    isChoosing = false;
    tell("");
    show();
    document.input.focus();
  }

  function chooseAnother() {
    isChoosing = true;
    show();
  }

  /** @param {string} text */
  function tell(text) {
    said.textContent = text;
    document.root.toggleAttribute("data-wrong", text !== "");
  }

  /** @returns {{ kind: string, reference: string } | null} null, and said so, where something is missing */
  function read() {
    const [which, where] = [document.input.value.trim(), WITH_PAGES.has(kind) ? page.input.value.trim() : ""];
    tell(isChoosing || !kind ? say.needsKind : which || where ? "" : say.needsReference);
    if (said.textContent) return null;
    keepSource({ kind, document: which, page: where });
    return { kind, reference: which && where ? say.joined(which, where) : which || where };
  }

  /** Where the next word belongs: the page, if all else is known already. */
  function focus() {
    if (isChoosing) kinds.querySelector("button")?.focus();
    else if (!page.root.hidden && document.input.value) page.input.select();
    else if (!document.input.value) document.input.focus();
  }

  show();
  return { root, read, focus };
}

/** @param {string} kind */
function kindText(kind) {
  return /** @type {Record<string, string>} */ (carWords.sheet.kinds)[kind] ?? kind;
}

/** @param {string} id @param {string} value @param {string} hint @param {() => void} onEnter */
function TextField(id, value, hint, onEnter) {
  const onkeydown = /** @param {KeyboardEvent} event */ (event) => event.key === "Enter" && onEnter();
  const input = element("input", { id, type: "text", autocomplete: "off", value, dir: "auto", enterkeyhint: hint, onkeydown });
  const label = element("label", { for: id });
  return { root: element("div", { class: "field" }, label, input), label, input };
}
