"""What is offered while a step waits, gone through for a whole visit and held against the specs."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from going_through import stops_along

from fillfirst.specs import load
from fillfirst.visits.compose import compose

SPECS = load(Path(__file__).parents[2] / "specs")
CATALOG = SPECS.model_dump(mode="json", by_alias=True)
JOBS = [id for id, job in SPECS.jobs.items() if not job.shared]
# Each step in its turn; in each wait of the kinds asked for whatever is offered is done until nothing is.
TAKE_EVERY_OFFER = """
async (text) => {
  const [catalog, composition, kinds] = JSON.parse(text);
  const { findBlockLeft, findWorkMeanwhile } = await import("/core/meanwhile.js");
  const { effects, stepOf } = await import("/core/compose.js");
  const bases = Object.entries(composition.variables);
  let state = Object.fromEntries(bases.map(([id, base]) => [id, catalog.variables[base].starts]));
  const done = new Set();
  const offers = [];
  let whileRunning = 0;
  const finish = (instance) => {
    state = { ...state, ...effects(catalog, composition, state, instance) };
    done.add(instance.id);
  };
  for (const instance of composition.steps) {
    if (done.has(instance.id)) continue;
    const { hold, since, wait_s } = stepOf(catalog, instance);
    const kind = hold ? "hold" : since.length && wait_s ? "plain" : "none";
    const waiting = kinds.includes(kind) ? [{ id: instance.id, left_s: 3600 }] : [];
    while (waiting.length) {
      const left = findBlockLeft(catalog, composition, done);
      const offered = findWorkMeanwhile(catalog, composition, state, done, waiting);
      if (offered === null) break;
      if (state.engine === "running") whileRunning += 1;
      offers.push({ waits: instance.id, offered, left });
      finish(composition.steps.find(({ id }) => id === offered));
    }
    finish(instance);
  }
  return { offers, order: [...done], whileRunning };
}
"""
# Two steps that nothing binds to each other but what the wait of the first counts from, if it does.
OFFER_WHAT_HEATS = """
async (text) => {
  const [catalog, composition, since] = JSON.parse(text);
  const { findWorkMeanwhile } = await import("/core/meanwhile.js");
  const [cools, heats] = ["running/cold-again", "closing/spills-up"];
  const change = { [cools]: { since, needs: {}, makes: {} }, [heats]: { makes: { heat: "hot" } } };
  const steps = catalog.steps.map((step) => ({ ...step, ...change[step.id] }));
  const two = composition.steps.filter(({ id }) => change[id]);
  const bases = Object.entries(composition.variables);
  const state = Object.fromEntries(bases.map(([id, base]) => [id, catalog.variables[base].starts]));
  const waiting = [{ id: cools, left_s: 3600 }];
  return findWorkMeanwhile({ ...catalog, steps }, { ...composition, steps: two }, state, new Set(), waiting);
}
"""


def compose_for(car: str, jobs: list[str] = JOBS) -> dict[str, Any]:
    facts = {name: fact.value for name, fact in SPECS.vehicles[car].facts.items()}
    return dict(compose(SPECS, jobs, facts))


@pytest.fixture(scope="module")
def composition() -> dict[str, Any]:
    return compose_for("fellside-estate")


@pytest.fixture(scope="module")
def walked(core_page: Any, composition: dict[str, Any]) -> Any:
    return core_page.run(TAKE_EVERY_OFFER, CATALOG, composition, ["hold"])


@pytest.fixture(scope="module")
def offers(walked: Any) -> list[dict[str, str]]:
    found: list[dict[str, str]] = walked["offers"]
    return found


def test_a_visit_whose_every_wait_is_filled_breaks_no_rule(composition: dict[str, Any], walked: Any) -> None:
    """A person who always takes what is offered for a wait is never stopped, and comes to the end."""
    assert sorted(walked["order"]) == sorted(instance["id"] for instance in composition["steps"])
    assert stops_along(SPECS, composition, walked["order"]) == []
    assert len(walked["offers"]) > 10
    assert walked["whileRunning"] == 0


def test_a_block_that_was_begun_in_a_wait_is_finished_before_anything(
    offers: list[dict[str, str]],
) -> None:
    left = [offer for offer in offers if offer["left"]]

    assert left
    assert [offer for offer in left if offer["offered"] != offer["left"]] == []


def test_no_offered_step_leads_back_over_what_waits(
    composition: dict[str, Any], offers: list[dict[str, str]]
) -> None:
    steps = {step.id: step for step in SPECS.steps}
    places = {instance["id"]: at for at, instance in enumerate(composition["steps"])}

    def leads_over(offer: dict[str, str]) -> bool:
        back = steps[offer["offered"].partition("@")[0]].back
        to = [at for id, at in places.items() if back and id.partition("@")[0] == back.to]
        return any(at <= places[offer["waits"]] <= places[offer["offered"]] for at in to)

    assert [offer for offer in offers if leads_over(offer)] == []


def test_what_waits_is_never_offered(offers: list[dict[str, str]]) -> None:
    assert [offer for offer in offers if offer["waits"] == offer["offered"]] == []


def test_filling_every_wait_that_nobody_starts_breaks_no_rule_and_changes_nothing_it_counts_from(
    core_page: Any,
) -> None:
    visits = [compose_for(car) for car in SPECS.vehicles]
    steps = {step.id: step for step in SPECS.steps}

    walks = [core_page.run(TAKE_EVERY_OFFER, CATALOG, visit, ["plain"]) for visit in visits]

    stopped = [stops_along(SPECS, visit, walk["order"]) for visit, walk in zip(visits, walks, strict=True)]
    offers = [offer for walk in walks for offer in walk["offers"]]
    plain = [(steps[offer["waits"]], steps[offer["offered"].partition("@")[0]]) for offer in offers]
    assert stopped == [[] for _ in visits]
    assert {offer["waits"] for offer in offers} >= {"running/cold-again"}
    assert [offered.id for waits, offered in plain if {*waits.since} & {*offered.makes}] == []


@pytest.mark.parametrize(("since", "offered"), [([], "closing/spills-up"), (["heat"], None)])
def test_what_a_wait_counts_from_is_let_be_until_it_is_over(
    core_page: Any, composition: dict[str, Any], since: list[str], offered: str | None
) -> None:
    assert core_page.run(OFFER_WHAT_HEATS, CATALOG, composition, since) == offered
