/**
 * One question, asked on one sheet in as few stages as it needs: the answer, where it is from, and, only where it is odd,
 * why it is so all the same. Nothing is recorded before the last of them.
 */

/** @import { FactDraft, Written } from "../../app/types.js" */
/** @import { Catalog, Value } from "../../core/types.js" */
/** @import { FactJudgement } from "../../core/judgement.js" */
/** @import { Answer } from "./value.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { carWords } from "../../app/words/car.js";
import { factRemarks } from "./remarks.js";
import { FactValue } from "./value.js";
import { keepName, lastName } from "./memory.js";
import { SourceField } from "./source.js";
import { valueText } from "../texts/known.js";
import { Button, ignoreGhosts } from "../controls/press.js";
import { openSheet } from "../controls/sheet.js";
import { amountText } from "../texts/unit-amount.js";

/**
 * @typedef {object} Asking
 * @property {Catalog} catalog
 * @property {string} fact
 * @property {Answer | null} known what stands there now; then the change needs a reason
 * @property {{ text: string, keep: (text: string) => void }} [begun] the number half typed when the page went; keep: what stands there now
 * @property {(draft: FactDraft) => Promise<Written>} write judged first; recorded unless it is refused, or odd and nobody said why
 * @property {() => void} [onDone] once it is recorded
 */

/** @param {Asking} asking */
export function openFactSheet({ catalog, fact, known, begun, write, onDone }) {
  const declared = catalog.facts[fact];
  const stage = element("div", { class: "fact-stage" });
  const foot = element("div", { class: "fact-foot" });
  const sheet = openSheet(declared?.title ?? fact, [stage], [foot]);
  sheet.classList.add("fact-sheet");
  sheet.dataset.fact = fact;
  /** @type {Answer | null} */
  let answer = known;
  let because = "";

  /** @param {Node[]} parts @param {(Node | null)[]} feet */
  function show(parts, feet) {
    stage.replaceChildren(...parts);
    foot.replaceChildren(...feet.filter((one) => one !== null));
    foot.hidden = foot.childElementCount === 0;
    stage.scrollTop = 0;
    ignoreGhosts();
  }

  function askValue() {
    const onAnswer = /** @param {Answer} given */ (given) => {
      answer = given;
      askSource();
    };
    const field = FactValue(catalog, fact, { known: answer, begun, onAnswer });
    const where = element("p", { class: "quiet" }, declared?.where ?? "");
    // On a small phone the keys leave room for the number, and for little beside it.
    show(declared?.kind === "quantity" ? [field.root, where] : [where, field.root], [field.foot]);
    field.focus();
  }

  function askSource() {
    const text = answerText(catalog, fact, answer);
    const keep = Button({ class: "action" }, save, carWords.sheet.save(text));
    const source = SourceField({ onEnter: save, onShow: (isReady) => void (keep.hidden = !isReady) });
    const reason = known ? Reason(carWords.sheet.because, carWords.sheet.becauseOffers, because) : null;
    const name = lastName() ? null : NameField();
    const trouble = element("p", { class: "trouble", role: "alert", hidden: true });
    const given = element("p", { class: "given" }, element("b", {}, text), Button({ class: "plain" }, askValue, carWords.sheet.change));
    const question = element("h3", {}, carWords.sheet.source);
    show([given, question, source.root, reason?.root, name?.root, trouble].filter((one) => one instanceof Node), [keep]);
    source.focus();

    async function save() {
      because = reason?.area.value.trim() ?? "";
      const from = source.read();
      if (name) keepName(name.input.value.trim());
      if (!from || (reason && !reason.check(carWords.sheet.needsBecause))) return;
      await send({ source: from }, trouble);
    }
  }

  /** @param {{ source: { kind: string, reference: string }, doubt?: string }} more @param {HTMLElement} trouble */
  async function send(more, trouble) {
    if (!answer) return;
    const draft = { fact, ...answer, ...more, ...(because ? { because } : {}), ...(lastName() ? { by: lastName() } : {}) };
    const written = await write(draft).catch(() => null);
    if (written?.event) return done();
    trouble.hidden = false;
    trouble.textContent = written ? factRemarks(catalog, fact, written.judgement.remarks).join(" ") : words.errors.notSaved;
    if (written?.judgement.verdict === "odd") askDoubt(more.source, written.judgement);
  }

  /** @param {{ kind: string, reference: string }} source @param {FactJudgement} judgement */
  function askDoubt(source, judgement) {
    const say = carWords.sheet;
    const reason = Reason(say.doubtLabel, say.doubtOffers, "");
    const trouble = element("p", { class: "trouble", role: "alert", hidden: true });
    const remarks = factRemarks(catalog, fact, judgement.remarks).map((text) => element("p", { class: "doubt" }, text));
    const keep = () => (reason.check(say.needsDoubt) ? send({ source, doubt: reason.area.value.trim() }, trouble) : undefined);
    const given = element("p", { class: "given" }, element("b", {}, answerText(catalog, fact, answer)), Button({ class: "plain" }, askValue, say.change));
    show([given, element("h3", {}, say.doubt), ...remarks, element("p", { class: "quiet" }, say.doubtSays), reason.root, trouble], [Button({ class: "action" }, keep, say.doubtDoes)]);
  }

  function done() {
    begun?.keep("");
    sheet.close();
    onDone?.();
  }

  askValue();
  return sheet;
}

/** Asked once on each phone: it stands beside every number. */
function NameField() {
  const input = element("input", { id: "fact-by", type: "text", autocomplete: "name" });
  return { root: element("div", { class: "field" }, element("label", { for: "fact-by" }, carWords.new.by), input), input };
}

/** A reason in a person's own words, with a few that one tap writes. @param {string} label @param {string[]} offers @param {string} first */
function Reason(label, offers, first) {
  const area = element("textarea", { id: "fact-reason", rows: "2", dir: "auto" });
  area.value = first;
  const said = element("p", { class: "said", role: "alert" });
  const chips = offers.map((offer) => Button({ class: "second" }, () => void (area.value = offer), offer));
  const root = element("div", { class: "field" }, element("label", { for: "fact-reason" }, label), element("div", { class: "offers" }, ...chips), area, said);

  /** @param {string} missing what is said where nothing stands there */
  function check(missing) {
    said.textContent = area.value.trim() ? "" : missing;
    root.toggleAttribute("data-wrong", said.textContent !== "");
    if (said.textContent) area.focus();
    return said.textContent === "";
  }
  return { root, area, check };
}

/** A value with its unit as it was typed, or in words. @param {Catalog} catalog @param {string} fact @param {{ value: Value, unit?: string | null } | null} answer */
export function answerText(catalog, fact, answer) {
  if (!answer) return "";
  const { value, unit } = answer;
  if (typeof value !== "number") return valueText(catalog, fact, value);
  return amountText(catalog, unit ?? catalog.facts[fact]?.unit ?? "1", value).text;
}
