"""The specs that are served: every visit proved, every seeded fault found, many visits played literally."""

from __future__ import annotations

import time
from collections.abc import Callable
from random import Random

import pytest
from seeding import change, drop, forget, move, trust

from fillfirst.specs.linked import Specs
from fillfirst.visits.compose import compose
from fillfirst.visits.counterexamples import Counterexample, find_counterexample, play_out
from fillfirst.visits.gate import ONE_TIME_RULE
from fillfirst.visits.layouts import Layout, Layouts
from fillfirst.visits.play import Play
from fillfirst.visits.proof import prove
from fillfirst.visits.shapes import Composition

#: As long as anyone waits for a checker.
LIMIT_S = 10.0


def test_every_visit_is_proved_in_the_time_one_waits(
    real_specs: Specs, record_property: Callable[..., None]
) -> None:
    # Of this process alone: what else the machine does is not the proof's affair.
    started = time.process_time()
    proof = prove(real_specs)
    took_s = time.process_time() - started

    record_property("proof", f"{proof.summary} {took_s:.1f} s")
    assert str(proof) == proof.summary
    assert took_s < LIMIT_S


def find(specs: Specs, kind: str, id: str, instance: str | None) -> Counterexample:
    """The counterexample for one fault of spoilt specs."""
    play = Play(specs)
    play.run()
    found = {(fault.kind, fault.id, fault.instance): fault for fault in reversed(play.faults)}
    assert (kind, id, instance) in found, sorted(map(str, found))
    return find_counterexample(specs, play.layouts, found[kind, id, instance])


#: What is done to the specs, the rule it breaks, the step that breaks it, and what is found there.
BROKEN_RULES = {
    "plug never closed": (
        lambda specs: trust(
            forget(specs, "engine-oil/drain-plug-torque", "engine-oil-drain-plug"),
            "engine-oil/fill-short",
        ),
        "engine-shut",
        "running/start-engine",
        "engine-oil-drain-plug is hand-tight; it must be closed.",
    ),
    "engine started dry": (
        lambda specs: drop(specs, "engine-oil/fill-short"),
        "engine-filled",
        "running/start-engine",
        "engine-oil is empty; it must be full or filled.",
    ),
    "gear unit drained before its fill plug moved": (
        lambda specs: trust(
            move(specs, "rear-final-drive/take-out-drain-plug", before="rear-final-drive/loosen-fill-plug"),
            "rear-final-drive/take-out-drain-plug",
        ),
        "fill-plug-before-drain-plug:rear-final-drive",
        "rear-final-drive/take-out-drain-plug",
        "rear-final-drive-fill-plug is closed; it must be hand-tight or open.",
    ),
    "hot circuit opened": (
        lambda specs: trust(
            forget(forget(specs, "preparation/cold-before-coolant", "heat"), "preparation/hand-warm", "heat"),
            "coolant-main/open-cap",
        ),
        "coolant-cold:coolant-main-cap",
        "coolant-main/open-cap",
        "heat is hot; it must be cold.",
    ),
    "wheels left hand-tight": (
        lambda specs: trust(
            change(specs, "closing/wheel-torque", makes={"wheel": "hand-tight"}), "closing/roll-and-brake"
        ),
        "drive-off-wheels",
        "closing/roll-and-brake",
        "wheel@front-left is hand-tight; it must be closed.",
    ),
    "car lowered with the pedal soft": (
        lambda specs: trust(
            forget(specs, "brake-fluid/pedal-engine-off", "pedal"),
            "closing/lift-down",
            "running/start-engine",
        ),
        "ground-pedal-firm",
        "closing/lift-down",
        "pedal is soft; it must be firm.",
    ),
    "gear engaged on stands with someone under the car": (
        lambda specs: drop(specs, "automatic-gearbox/back-to-park"),
        "under-no-gear",
        "automatic-gearbox/open-fill-plug-running",
        "gear is engaged; it must be park.",
    ),
    "gear engaged with the brakes not firm": (
        lambda specs: trust(
            forget(specs, "brake-fluid/pedal-engine-off", "pedal"),
            "automatic-gearbox/hold-positions",
            "running/start-engine",
        ),
        "gear-pedal-firm",
        "automatic-gearbox/hold-positions",
        "pedal is soft; it must be firm.",
    ),
    "engine running indoors without the exhaust led out": (
        lambda specs: drop(specs, "running/exhaust-out"),
        "engine-exhaust",
        "running/start-engine",
        "exhaust is not-led-out; it must be led-out.",
    ),
    "old filter refitted": (
        lambda specs: trust(
            forget(specs, "engine-oil/cartridge-in", "engine-oil-filter"), "engine-oil/filter-cap-torque"
        ),
        ONE_TIME_RULE.id,
        "engine-oil/filter-cap-torque",
        "engine-oil-filter is used; it must be new.",
    ),
    "one-time bolt refitted": (
        lambda specs: drop(specs, "automatic-gearbox/count-new-screws"),
        ONE_TIME_RULE.id,
        "automatic-gearbox/first-pass@1",
        "automatic-gearbox-pan-screw-set is used; it must be new.",
    ),
}


@pytest.mark.parametrize("name", BROKEN_RULES)
def test_a_seeded_fault_is_found_and_told_by_its_rule(name: str, real_specs: Specs) -> None:
    seed, rule_id, instance, verdict = BROKEN_RULES[name]
    rule = next(rule for rule in [*real_specs.rules, ONE_TIME_RULE] if rule.id == rule_id)

    lines = find(seed(real_specs), "rule", rule_id, instance).text.splitlines()

    assert lines[:2] == [f'step "{instance}" breaks the rule "{rule.title}" ({rule_id}).', f"  {rule.reason}"]
    assert any(line.startswith(f"  > {instance}") for line in lines)
    assert f"  {verdict}" in lines


#: The same carelessness where no rule speaks: something is left as it may not be left.
LEFT_OPEN = {
    "plug never closed": (
        lambda specs: trust(
            forget(specs, "engine-oil/drain-plug-torque", "engine-oil-drain-plug"), "engine-oil/fill-short"
        ),
        "engine-oil-drain-plug",
        '"engine-oil-drain-plug" is hand-tight at the end; it must be closed.',
    ),
    "wheels left hand-tight": (
        lambda specs: trust(
            change(specs, "closing/wheel-torque-again", makes={"wheel": "hand-tight"}),
            "closing/roll-and-brake",
        ),
        "wheel@rear-right",
        '"wheel@rear-right" is hand-tight at the end; it must be closed.',
    ),
    "fluid never renewed": (
        lambda specs: forget(specs, "transfer-case/pump-in", "transfer-case.fluid"),
        "transfer-case.fluid",
        '"transfer-case.fluid" is old at the end; it must be new.',
    ),
}


@pytest.mark.parametrize("name", LEFT_OPEN)
def test_what_is_left_open_is_found_and_told(name: str, real_specs: Specs) -> None:
    seed, variable, headline = LEFT_OPEN[name]

    lines = find(seed(real_specs), "end", variable, None).text.splitlines()

    assert lines[0] == headline
    assert "  > at the end" in lines


def some_visit(layouts: Layouts, random: Random) -> Layout:
    """A visit picked by tossing a preference for every option of every choice."""
    costs = [[random.random() for _ in range(options)] for options in layouts.choices.options]
    return layouts.layout_of(layouts.choices.cheapest(layouts.domain, costs))


@pytest.fixture(scope="module")
def layouts(real_specs: Specs) -> Layouts:
    return Layouts(real_specs)


@pytest.mark.parametrize("share", range(5))
def test_visits_played_literally_go_well(share: int, real_specs: Specs, layouts: Layouts) -> None:
    random = Random(share)
    visits = [some_visit(layouts, random) for _ in range(24)]
    compositions = [compose(real_specs, visit.jobs, visit.facts) for visit in visits]

    assert [composition["missing"] for composition in compositions] == [[]] * 24
    assert [
        each.findings for one in compositions for each in play_out(real_specs, one) if each.findings
    ] == []


@pytest.mark.parametrize("share", range(10))
def test_visits_that_lead_back_once_go_well(share: int, real_specs: Specs, layouts: Layouts) -> None:
    random = Random(100 + share)
    compositions = []
    for _ in range(10):
        visit = some_visit(layouts, random)
        compositions.append(compose(real_specs, visit.jobs, visit.facts))
    ways = [(one, random.choice(ways_back(real_specs, one))) for one in compositions]

    found = [each.findings for one, via in ways for each in play_out(real_specs, one, via) if each.findings]

    assert found == []


def ways_back(specs: Specs, composition: Composition) -> list[str | None]:
    """Instances from which this visit may lead back; None where there is no such step."""
    steps = composition["steps"]
    ids = [step["id"] for step in steps if specs.steps_by_id[step["step"]].back is not None]
    return [*ids] or [None]
