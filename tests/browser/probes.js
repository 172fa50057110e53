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
    const all = [...document.querySelectorAll("main *, dialog *")].filter((one) => !one.closest("svg, .only-spoken, thead"));
    const wide = all.filter((one) => one.getBoundingClientRect().right > innerWidth + 1);
    const scrolls = document.documentElement.scrollWidth > innerWidth;
    return [...wide.map((one) => `${one.tagName}.${one.className}`), ...(scrolls ? ["the page scrolls sideways"] : [])];
  },

  /* Texts that stand out less than so much from the ground they are on, by the formula of WCAG 2.2. */
  tooFaint(least) {
    const read = (colour) => colour.match(/[\d.]+/g).map(Number);
    const linear = (part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
    const luminance = ([red, green, blue]) => {
      const [r, g, b] = [red, green, blue].map((part) => linear(part / 255));
      return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const groundOf = (one) => {
      for (let at = one; at; at = at.parentElement) {
        const ground = read(getComputedStyle(at).backgroundColor);
        if ((ground[3] ?? 1) > 0.9) return ground;
      }
      return read(getComputedStyle(document.documentElement).backgroundColor);
    };
    const faint = [];
    const texts = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
    while (texts.nextNode()) {
      const text = texts.currentNode.data.trim();
      const one = texts.currentNode.parentElement;
      if (!text || one.closest("svg, .only-spoken, [hidden]") || one.offsetParent === null) continue;
      const [light, dark] = [luminance(read(getComputedStyle(one).color)), luminance(groundOf(one))].sort((a, b) => b - a);
      const ratio = (light + 0.05) / (dark + 0.05);
      if (ratio < least) faint.push(`${text.slice(0, 30)}: ${ratio.toFixed(1)}`);
    }
    return faint;
  },
});
