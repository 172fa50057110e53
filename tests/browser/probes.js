/*
 * What tests ask of a page about its look. Evaluated in the page as one expression: an object of questions, each of
 * which answers with the offenders, in words.
 */
({
  /* Things to press that a gloved finger would miss. */
  tooSmall() {
    const targets = [...document.querySelectorAll("main button, main input:not([type=file]), main summary, main label.choice")];
    return targets
      .filter((target) => target.offsetParent !== null && !target.matches(".choice input"))
      .map((target) => ({ box: target.getBoundingClientRect(), name: `${target.className} ${target.innerText.slice(0, 20)}` }))
      .filter(({ box }) => box.height < 47.5 || box.width < 47.5)
      .map(({ box, name }) => `${name}: ${Math.round(box.width)} × ${Math.round(box.height)}`);
  },

  /* The least heights of what stands in reach of the thumb: the action's, and those of the row below it. */
  heights() {
    const least = (selector) => {
      const shown = [...document.querySelectorAll(selector)].filter((one) => one.offsetParent !== null);
      return shown.length ? Math.min(...shown.map((one) => one.offsetHeight)) : null;
    };
    return { action: least(".foot-slot .action"), second: least(".frame > footer > .row .second") };
  },

  /* Whatever reaches beyond the edge of the screen. */
  tooWide() {
    // Of the phone; the window's own width grows with a page that is too wide for it.
    const width = document.documentElement.clientWidth;
    const all = [...document.querySelectorAll("main *, dialog *")].filter((one) => !one.closest("svg, .only-spoken, thead"));
    const wide = all.filter((one) => one.getBoundingClientRect().right > width + 1);
    const scrolls = document.documentElement.scrollWidth > width;
    return [...wide.map((one) => `${one.tagName}.${one.className}`), ...(scrolls ? ["the page scrolls sideways"] : [])];
  },

  /* Things to press whose middle something else lies over, wherever one scrolls to. */
  covered() {
    const stage = document.querySelector("dialog[open]") ?? document.querySelector("main");
    const targets = [...stage.querySelectorAll("button, summary, label.choice, input:not([type=file]), textarea")];
    const shown = targets.filter((target) => target.checkVisibility() && !target.closest(".choice input, .tick input, .undo-bar"));
    const isFree = (target) => {
      target.scrollIntoView({ block: "center", behavior: "instant" });
      const { left, top, width, height } = target.getBoundingClientRect();
      const hit = document.elementFromPoint(left + width / 2, top + height / 2);
      return hit !== null && (target.contains(hit) || hit.closest("label")?.contains(target));
    };
    const names = shown.filter((target) => !isFree(target)).map((target) => `${target.className || target.id} ${target.innerText.slice(0, 20)}`);
    scrollTo(0, 0);
    return names;
  },

  /* How much two colours stand out from each other, by the formula of WCAG 2.2. */
  contrast(one, other) {
    const linear = (part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
    const luminance = ([red, green, blue]) => {
      const [r, g, b] = [red, green, blue].map((part) => linear(part / 255));
      return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const [light, dark] = [luminance(one), luminance(other)].sort((a, b) => b - a);
    return (light + 0.05) / (dark + 0.05);
  },

  read: (colour) => (colour.match(/[\d.]+/g) ?? [0, 0, 0, 0]).map(Number),

  groundOf(one) {
    if (!one) return [255, 255, 255];
    const [red, green, blue, share = 1] = this.read(getComputedStyle(one).backgroundColor);
    return share < 1 ? this.mix([red, green, blue], this.groundOf(one.parentElement), share) : [red, green, blue];
  },

  /* What a word in a drawing stands on: the last filled shape before it in its group, if there is one. */
  groundOfDrawn(text) {
    const before = [...text.parentElement.children].slice(0, [...text.parentElement.children].indexOf(text));
    const filled = before.filter((one) => text.parentElement.localName === "g" && one.matches("circle, path, rect"));
    const fills = filled.map((one) => getComputedStyle(one)).filter(({ display, fill }) => display !== "none" && fill !== "none");
    return fills.length ? this.read(fills.at(-1).fill).slice(0, 3) : this.groundOf(text);
  },

  mix: (front, back, share) => back.map((part, at) => share * front[at] + (1 - share) * part),

  stage: () => document.querySelector("dialog[open]") ?? document.querySelector("main"),

  /* Texts that stand out less than so much from the ground they are on. */
  tooFaint(least) {
    const opacityOf = (one) => (one ? Number(getComputedStyle(one).opacity) * opacityOf(one.parentElement) : 1);
    const faint = [];
    const texts = document.createTreeWalker(this.stage(), NodeFilter.SHOW_TEXT);
    while (texts.nextNode()) {
      const text = texts.currentNode.data.trim();
      const one = texts.currentNode.parentElement;
      if (!text || one.closest(".only-spoken, [hidden]") || !one.checkVisibility()) continue;
      const isDrawn = one instanceof SVGElement;
      const ground = isDrawn ? this.groundOfDrawn(one) : this.groundOf(one);
      const { color, fill } = getComputedStyle(one);
      const ratio = this.contrast(this.mix(this.read(isDrawn ? fill : color), ground, opacityOf(one)), ground);
      if (ratio < least) faint.push(`${text.slice(0, 30)}: ${ratio.toFixed(1)}`);
    }
    return faint;
  },

  /* Lines of marks and drawings that stand out less than so much. */
  faintLines(least) {
    const lines = [...this.stage().querySelectorAll(".mark path, .bolt circle:not(.before), .chart .line, .band-edge, .axis, .car .body")];
    return lines
      .filter((line) => line.checkVisibility())
      .map((line) => ({ line, ratio: this.contrast(this.read(getComputedStyle(line).stroke), this.groundOf(line)) }))
      .filter(({ ratio }) => ratio < least)
      .map(({ line, ratio }) => `${line.getAttribute("class")}: ${ratio.toFixed(1)}`);
  },

  /* Things to press that neither a line nor their own ground sets off from what is round them. */
  edgeless() {
    const controls = [...this.stage().querySelectorAll(".action, .second, .choice, .key, .hero, .open-pill")];
    const hasEdge = (one) => {
      const { borderTopStyle, borderTopWidth, borderTopColor } = getComputedStyle(one);
      const around = this.groundOf(one.parentElement);
      const line = borderTopStyle !== "none" && parseFloat(borderTopWidth) >= 1 ? [borderTopColor] : [];
      return [...line.map(this.read), this.groundOf(one)].some((colour) => (colour[3] ?? 1) > 0 && this.contrast(colour, around) >= 3);
    };
    return controls.filter((one) => one.checkVisibility() && !hasEdge(one)).map((one) => `${one.className} ${one.innerText.slice(0, 20)}`);
  },

  /* How each state is told, colour left out: the drawn lines, the kind of border and letter, the word of the state. */
  toldWithoutColour(selector, state) {
    const lineOf = (shape) => {
      const { stroke, fill, strokeWidth, strokeDasharray, display, visibility } = getComputedStyle(shape);
      const isDrawn = display !== "none" && visibility !== "hidden" && (stroke !== "none" || fill !== "none");
      return isDrawn ? [shape.localName, shape.getAttribute("d"), shape.getAttribute("r"), strokeWidth, strokeDasharray, fill === "none"].join(" ") : "";
    };
    const drawnBy = (one, pseudo) => {
      const { content, width, height, borderRadius, borderWidth, borderStyle, transform } = getComputedStyle(one, pseudo);
      return content === "none" ? "" : [width, height, borderRadius, borderWidth, borderStyle, transform].join(" ");
    };
    const wordsOf = (one) => {
      const own = [...one.childNodes].filter((child) => child.nodeType === Node.TEXT_NODE);
      const said = [...own, ...one.querySelectorAll(":scope > .quiet, .tag")].map((part) => part.textContent.replace(/[^\p{L}]+/gu, " ").trim());
      return said.join(" ");
    };
    return [...document.querySelectorAll(selector)].map((one) => {
      const { fontWeight, textDecorationLine, borderStyle, borderWidth } = getComputedStyle(one);
      const lines = [...one.querySelectorAll("path, circle, rect")].map(lineOf).filter(Boolean);
      const told = [lines.join(", "), drawnBy(one, "::before"), drawnBy(one, "::after"), fontWeight, textDecorationLine, borderStyle, borderWidth, wordsOf(one)];
      return [one.dataset[state] ?? "", told.join(" | ")];
    });
  },

  /* Blocks of a step that are read after one below them. */
  outOfOrder() {
    const top = (one) => one.getBoundingClientRect().top;
    return [...document.querySelectorAll(".frame, .frame > .body, .step-card, .frame > footer, .kind-foot")].flatMap((parent) => {
      const shown = [...parent.children].filter((one) => one.checkVisibility() && one.offsetHeight > 0 && !one.matches(".only-spoken"));
      return shown.filter((one, at) => at > 0 && top(one) < top(shown[at - 1]) - 1).map((one) => `${one.localName}.${one.className}`);
    });
  },

  /* Whatever moves, or would as soon as something changes. */
  moving() {
    const moves = ({ transitionDuration, animationName }) => animationName !== "none" || transitionDuration.split(",").some((one) => parseFloat(one) > 0);
    const found = [...document.querySelectorAll("body *")].filter((one) => ["", "::before", "::after"].some((part) => moves(getComputedStyle(one, part || undefined))));
    return [...found.map((one) => `${one.localName}.${one.getAttribute("class")}`), ...document.getAnimations().map(String)];
  },
});
