/*
 * Fills in the form of cars as the screen asks it, from the first question to the last number. Evaluated in the page as
 * one function. What a car's `answers` do not say is answered by chance, the same for the same seed; half the time with
 * what was answered least so far.
 */
async (cars) => {
  const main = document.querySelector("script[type=module][src]").src;
  const load = (name) => import(new URL(`./core/${name}.js`, main).href);
  const [{ compose }, { missingByJob, numbersFor, questionsFor }, { judgeFact }] = await Promise.all([load("compose"), load("needs"), load("judgement")]);
  const { catalog } = globalThis.fillfirst;
  const services = Object.keys(catalog.jobs).filter((id) => !catalog.jobs[id].shared);
  const source = { kind: "makers-manual", reference: "p. 1" };

  const given = {};
  function pick(name, all, chance) {
    const counts = (given[name] ??= Object.fromEntries(all.map((id) => [id, 0])));
    const rarest = [...all].sort((a, b) => counts[a] - counts[b])[0];
    const id = chance() < 0.5 ? rarest : all[Math.floor(chance() * all.length)];
    counts[id] += 1;
    return id;
  }

  function answerFor(name, answers, chance) {
    const { kind, options, from, to, odd_from, odd_to, default: usual } = catalog.facts[name];
    if (Object.hasOwn(answers, name)) return answers[name];
    if (kind === "yes-no") return pick(name, ["true", "false"], chance) === "true";
    if (kind === "choice") return pick(name, Object.keys(options), chance);
    if (kind === "list") return usual ?? (options ? Object.keys(options).slice(0, 1) : ["1", "2", "3"]);
    return kind === "text" ? "as the book says" : ((odd_from ?? from) + (odd_to ?? to)) / 2;
  }

  function fillIn({ answers, seed }) {
    let state = seed;
    const chance = () => (state = (state * 16807) % 2147483647) / 2147483647;
    for (let warm = 0; warm < 8; warm += 1) chance();
    const [facts, questions, problems] = [{}, {}, []];
    const write = (name) => {
      const value = answerFor(name, answers, chance);
      const { verdict, remarks } = judgeFact(catalog, facts, name, value, source);
      if (verdict === "refused" || remarks.some(({ code }) => code === "does-not-apply")) problems.push(`${name}: ${JSON.stringify(remarks)}`);
      facts[name] = value;
      return value;
    };
    for (let name; (name = questionsFor(catalog, facts).find((one) => !Object.hasOwn(facts, one))); ) questions[name] = write(name);
    const ask = () => numbersFor(catalog, compose(catalog, services, facts));
    for (let open; (open = ask().filter((name) => !Object.hasOwn(facts, name))).length > 0; ) open.forEach(write);
    const composition = compose(catalog, services, facts);
    problems.push(...composition.missing.map((name) => `${name} was not asked`));
    problems.push(...Object.values(missingByJob(catalog, composition)).flat().map(({ name }) => `${name} is missing at the end`));
    return { questions, numbers: ask(), jobs: composition.jobs, problems };
  }
  return cars.map(fillIn);
};
