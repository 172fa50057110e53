/** One number of an own car after the other: its card where it is known, its sheet where it is to be typed. */

/** @import { App, Car, Garage } from "../app/types.js" */
/** @import { CarFold } from "../core/car.js" */
/** @import { Catalog } from "../core/types.js" */

import { carWords } from "../app/words/car.js";
import { element } from "../dom/element.js";
import { openFactCard } from "../parts/facts/card.js";
import { lastName } from "../parts/facts/memory.js";
import { openFactSheet } from "../parts/facts/sheet.js";
import { Button } from "../parts/controls/press.js";

/** @param {App} app @param {Catalog} catalog @param {string} id @param {() => Car & { own: CarFold }} carNow */
export function CarFacts(app, catalog, id, carNow) {
  /** @param {(garage: Garage) => Promise<unknown>} act */
  const inGarage = async (act) => act(await app.loadGarage());

  /** @param {string} name @param {() => void} [onConfirmed] */
  function open(name, onConfirmed) {
    const { own } = carNow();
    const known = own.facts[name];
    if (!known) return ask(name);
    return openFactCard(catalog, own, name, {
      onCorrect: () => ask(name),
      onConfirm: async () => {
        await confirm(name, known.event);
        onConfirmed?.();
      },
      onWithdraw: (because) => inGarage((garage) => garage.withdrawFact(id, name, because, lastName())),
    });
  }

  /** @param {string} fact @param {string} event the fact-written that holds */
  function confirm(fact, event) {
    return inGarage((garage) => garage.confirmFact(id, fact, event, lastName()));
  }

  /** @param {string} name @param {() => void} [onDone] */
  function ask(name, onDone) {
    const known = carNow().own.facts[name];
    openFactSheet({
      catalog,
      fact: name,
      known: known ? { value: known.value, ...(known.typed ? { typed: known.typed } : {}), ...(known.unit ? { unit: known.unit } : {}) } : null,
      write: (draft) => app.loadGarage().then((garage) => garage.writeFact(id, draft)),
      ...(onDone ? { onDone } : {}),
    });
  }

  /** @param {CarFold} own */
  const unconfirmed = (own) => Object.keys(own.facts).filter((name) => own.facts[name]?.confirmed === null);

  /** One after the other, until somebody closes the card. */
  function openUnconfirmed() {
    const [name] = unconfirmed(carNow().own);
    if (name) open(name, openUnconfirmed);
  }

  /** Numbers of somebody else's sheet. @param {CarFold} own @returns {Node[]} */
  function Imported(own) {
    const names = unconfirmed(own);
    if (!names.length) return [];
    const look = Button({ class: "second" }, openUnconfirmed, carWords.imported.does);
    return [element("section", { class: "notice imported" }, element("h2", {}, carWords.imported.title(names.length)), element("p", {}, carWords.imported.says), look)];
  }

  return { open, ask, confirm, Imported };
}
