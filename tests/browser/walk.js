/*
 * Goes through a visit the fast way, by recording what each step asks for, until a step is next that a test or a
 * picture wants to see. Evaluated in the page as one function; `until` names steps by id, kind or item.
 */
async ({ visit, until }) => {
  const { evaluateFigure } = await import(new URL("./core/figures.js", document.querySelector("script[type=module]").src).href);
  const app = globalThis.fillfirst;
  const stepsById = new Map(app.visit(visit).catalog.steps.map((step) => [step.id, step]));

  const current = () => {
    const open = app.visit(visit);
    const instance = open.composition.steps.find(({ id }) => id === open.visit.next);
    return instance ? { open, instance, step: stepsById.get(instance.step) } : null;
  };
  const isWanted = ({ instance, step }) =>
    Object.keys(until).length > 0 &&
    (!until.id || until.id === instance.id || until.id === instance.step) &&
    (!until.kind || until.kind === step.kind) &&
    (until.index === undefined || until.index === instance.index) &&
    (!until.shows || [...step.shows, ...step.judges].includes(until.shows));

  const amount = ({ visit }, given) => (given ? ("name" in given ? visit.values[given.name] : given.value) : null);

  /* A value that its judgements accept; where none judges, one that is likely. */
  function guess(open, step) {
    const likely = {};
    for (const name of step.readings) {
      const { from, to, unit } = open.catalog.readings[name];
      const capacity = step.shows.map((shown) => open.visit.values[shown]).find((value) => typeof value === "number");
      likely[name] = from + 0.3 * (to - from);
      if (unit === "l" || unit === "ml") likely[name] = Math.min(to, capacity ? 0.9 * capacity : 0.0012);
      if (step.window?.reading === name) likely[name] = (amount(open, step.window.from) + amount(open, step.window.to)) / 2;
    }
    const holds = (readings) => step.judges.every((judge) => evaluateFigure(open.catalog, judge, { ...open.visit.values, ...readings }).value === true);
    const level = Object.fromEntries(step.readings.map((name) => [name, Math.max(open.catalog.readings[name].from, 0)]));
    if (holds(likely)) return likely;
    if (holds(level)) return level;
    for (let attempt = 0; attempt < 4000; attempt += 1) {
      const width = [1, 0.3, 0.1, 0.03][attempt % 4];
      const tried = Object.fromEntries(
        step.readings.map((name, at) => {
          const { from, to } = open.catalog.readings[name];
          return [name, from + (to - from) * width * ((attempt * 0.61803 + at * 0.31 + attempt / 4000) % 1)];
        }),
      );
      if (holds(tried)) return tried;
    }
    return likely;
  }

  async function take({ open, instance, step }) {
    for (const [reading, si] of Object.entries(guess(open, step))) {
      const { unit } = open.catalog.readings[reading];
      const { factor, offset, decimals } = open.catalog.units[unit];
      const shown = Number(((si - offset) / factor).toFixed(decimals + 1));
      await app.record(visit, "reading-taken", { step: instance.id, reading, value: shown * factor + offset, typed: String(shown), unit });
    }
  }

  for (let here = current(); here && !isWanted(here); here = current()) {
    const { open, instance, step } = here;
    if (step.readings.length) await take(here);
    if (step.kind === "hold") {
      const least_s = amount(open, step.hold?.least) ?? 0;
      await app.record(visit, "timer-started", { step: instance.id, started_ms: Date.now() - least_s * 1000 - 60_000, least_s, most_s: null });
    }
    const good = step.findings.find((finding) => finding.good);
    await app.record(visit, "step-done", { step: instance.id, ...(good ? { finding: good.id } : {}) });
  }
  return current()?.instance.id ?? null;
};
