"""What is offered while a step waits, gone through for a whole visit and held against the specs."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from fillfirst.specs import load
from fillfirst.visits.compose import compose

SPECS = load(Path(__file__).parents[2] / "specs")
CATALOG = SPECS.model_dump(mode="json", by_alias=True)
JOBS = [id for id, job in SPECS.jobs.items() if not job.shared]
# Each step in its turn; in each hold whatever is offered is done until nothing is.
TAKE_EVERY_OFFER = """
async (text) => {
  const [catalog, composition] = JSON.parse(text);
  const { findBlockLeft, findWorkMeanwhile } = await import("/core/timetable.js");
  const { effects, stepOf } = await import("/core/compose.js");
  const bases = Object.entries(composition.variables);
  let state = Object.fromEntries(bases.map(([id, base]) => [id, catalog.variables[base].starts]));
  const done = new Set();
  const offers = [];
  const finish = (instance) => {
    state = { ...state, ...effects(catalog, composition, state, instance) };
    done.add(instance.id);
  };
  for (const instance of composition.steps) {
    if (done.has(instance.id)) continue;
    const waiting = stepOf(catalog, instance).hold ? [{ id: instance.id, left_s: 3600 }] : [];
    while (waiting.length) {
      const left = findBlockLeft(catalog, composition, done);
      const offered = findWorkMeanwhile(catalog, composition, state, done, waiting);
      if (offered === null) break;
      offers.push({ waits: instance.id, offered, left });
      finish(composition.steps.find(({ id }) => id === offered));
    }
    finish(instance);
  }
  return offers;
}
"""


@pytest.fixture(scope="module")
def composition() -> dict[str, Any]:
    facts = {name: fact.value for name, fact in SPECS.vehicles["fellside-estate"].facts.items()}
    return dict(compose(SPECS, JOBS, facts))


@pytest.fixture(scope="module")
def offers(core_page: Any, composition: dict[str, Any]) -> list[dict[str, str]]:
    found: list[dict[str, str]] = core_page.run(TAKE_EVERY_OFFER, CATALOG, composition)
    return found


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
