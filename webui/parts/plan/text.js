/** A list of a plan as plain text, for whoever goes to the shop without the app. */

import { download } from "../../device/files.js";

/** @import { FluidLine } from "../../core/shopping.js" */

/** @typedef {{ text: string, line: FluidLine, currency: string }} Bought the packs in words, and the line they were chosen for */
/** @typedef {{ id: string, title: string, notes: string[], amount: string, colour: string | null, figure: string | null, bought?: Bought | null }} ListLine colour: of its fluid; figure: what its amount is worked out by */
/** @typedef {{ title: string, lines: ListLine[] }} ListPart */

/** @param {string} heading @param {ListPart[]} parts @param {Record<string, unknown>} ticks */
export function listAsText(heading, parts, ticks) {
  const sections = parts.map(({ title, lines }) => [title, ...lines.map((line) => lineText(line, line.id in ticks))].filter(Boolean).join("\n"));
  return [heading, ...sections].join("\n\n");
}

/** @param {ListLine} line @param {boolean} isDone */
function lineText({ title, amount, notes, bought }, isDone) {
  const head = [`${isDone ? "[x]" : "[ ]"} ${title}`, amount].filter(Boolean).join(": ");
  return [head, ...[...notes, bought?.text ?? ""].filter(Boolean).map((note) => `    ${note}`)].join("\n");
}

/**
 * Hand the text on: by the phone's own way of sharing, else by the clipboard, else as a file.
 *
 * @param {string} title @param {string} text
 * @returns {Promise<"shared" | "copied" | "saved" | "left">} left: the person closed the sheet of the phone
 */
export async function shareText(title, text) {
  if (navigator.share) {
    try {
      await navigator.share({ title, text });
      return "shared";
    } catch (error) {
      if (error instanceof DOMException && error.name === "AbortError") return "left";
    }
  }
  try {
    await navigator.clipboard.writeText(text);
    return "copied";
  } catch {
    download(new File([text], "list.txt", { type: "text/plain" }));
    return "saved";
  }
}
