"""The proof on a small catalog: what it finds, how it tells it, and that literal play finds the same."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from seeding import Seed, change, drop, forget, move, trust, with_steps

from fillfirst.errors import ProofError
from fillfirst.specs.linked import Specs
from fillfirst.visits.compose import compose
from fillfirst.visits.counterexamples import Moment, find_counterexample, play_out
from fillfirst.visits.layouts import Layout
from fillfirst.visits.play import Fault, Play
from fillfirst.visits.proof import prove

TOLD = Path(__file__).parent / "counterexamples"

#: What a careless author does, named after what happens to the car.
SEEDS: dict[str, Seed] = {
    "plug-never-closed": lambda specs: forget(specs, "engine-oil/close-drain-plug", "engine-oil-drain-plug"),
    "engine-started-dry": lambda specs: drop(specs, "engine-oil/fill"),
    "gear-unit-drained-before-its-fill-plug-moved": lambda specs: move(
        specs, "rear-drive/loosen-fill-plug", before="rear-drive/fill"
    ),
    "hot-circuit-opened": lambda specs: drop(specs, "coolant/cool"),
    "wheels-left-hand-tight": lambda specs: change(
        specs, "closing/wheel-torque", makes={"wheel": "hand-tight"}
    ),
    "car-lowered-with-the-pedal-soft": lambda specs: trust(
        drop(specs, "brake-fluid/try-pedal"), "closing/lower", "running/start", "gearbox/positions"
    ),
    "gear-engaged-with-someone-under-the-car": lambda specs: drop(specs, "gearbox/back-to-park"),
    "gear-engaged-with-the-brakes-not-firm": lambda specs: trust(
        move(specs, "brake-fluid/try-pedal", before="closing/wheel-on"), "running/start", "gearbox/positions"
    ),
    "engine-run-indoors-without-the-exhaust-led-out": lambda specs: drop(specs, "running/lead-out"),
    "old-filter-refitted": lambda specs: forget(specs, "engine-oil/close-filter", "engine-oil-filter"),
    "one-time-bolt-refitted": lambda specs: forget(specs, "gearbox/start-screw", "pan-screw"),
    "fluid-never-renewed": lambda specs: forget(specs, "coolant/fill", "coolant.fluid"),
    "way-back-that-lets-the-car-down": lambda specs: change(
        specs,
        "gearbox/level",
        back=back_of(specs, "gearbox/level", makes={"engine": "off", "support": "jacked"}),
    ),
    "way-back-to-a-step-that-is-not-there": lambda specs: change(
        specs, "gearbox/level", back=back_of(specs, "gearbox/level", to="preparation/undertray")
    ),
    "rule-broken-before-anything-is-done": lambda specs: specs.model_copy(
        update={
            "variables": {
                **specs.variables,
                "pedal": specs.variables["pedal"].model_copy(update={"starts": "soft"}),
            }
        }
    ),
    "nipple-opened-with-the-wheels-on": lambda specs: trust(
        drop(specs, "preparation/wheel-off"), "brake-fluid/open-nipple"
    ),
    "done-from-where-nobody-may-be": lambda specs: change(specs, "preparation/stands", where="bonnet"),
    "done-from-under-the-car-on-its-wheels": lambda specs: change(specs, "closing/sheet", where="under"),
}


def back_of(specs: Specs, id: str, **changes: object) -> object:
    back = specs.steps_by_id[id].back
    assert back is not None
    return back.model_copy(update=changes)


@pytest.mark.parametrize("name", SEEDS)
def test_a_seeded_fault_is_found_and_told(name: str, small_specs: Specs) -> None:
    proof = prove(SEEDS[name](small_specs))

    assert f"{proof}\n" == (TOLD / f"{name}.txt").read_text()


def test_there_is_no_told_fault_without_a_seed() -> None:
    assert {path.stem for path in TOLD.glob("*.txt")} == set(SEEDS)


def test_sound_specs_are_proved_in_one_line(small_specs: Specs) -> None:
    proof = prove(small_specs)

    assert str(proof) == (
        "948 visits (5 jobs, 7 layout facts) proved: "
        "49 steps, every rule at every moment, all closed at the end."
    )
    assert proof.is_proved


def test_only_so_many_faults_are_told_in_full(small_specs: Specs) -> None:
    proof = prove(SEEDS["plug-never-closed"](small_specs), limit=1)

    assert len(proof.counterexamples) == 1
    assert "… and 2 more, which may have the same cause." in str(proof)


def test_a_counterexample_says_what_it_is_of(small_specs: Specs) -> None:
    [found] = prove(SEEDS["engine-run-indoors-without-the-exhaust-led-out"](small_specs)).counterexamples

    assert (found.kind, found.id, found.instance, found.via) == (
        "rule",
        "exhaust-led-out",
        "running/start",
        None,
    )
    assert found.jobs == ["coolant"]
    assert found.facts == {"powertrain": "combustion", "work_place": "indoors"}


@pytest.mark.parametrize(
    ("when", "message"),
    [
        (
            ["<", ["name", "wheel_torque"], ["number", 100.0]],
            'the expression ["<", ["name", "wheel_torque"], ["number", 100.0]], name "wheel_torque": '
            "found a quantity; expected a choice, a yes-no or a list, since it decides which steps there are."
            " Ask known(wheel_torque), or make a choice of what you want to tell apart.",
        ),
        (
            ["name", "oil_out"],
            'the expression ["name", "oil_out"], name "oil_out": '
            "found no fact; expected a choice, a yes-no or a list, since it decides which steps there are. "
            "Ask known(oil_out), or make a choice of what you want to tell apart.",
        ),
        (
            ["name", "powertrain"],
            'the expression ["name", "powertrain"]: '
            'found the value "combustion"; expected yes or no for every car.',
        ),
    ],
    ids=["quantity", "reading", "no-judgement"],
)
def test_what_cannot_be_played_is_refused(when: list[object], message: str, small_specs: Specs) -> None:
    with pytest.raises(ProofError) as refusal:
        prove(change(small_specs, "coolant/fill", when=when))

    assert str(refusal.value) == message


def test_a_fault_that_literal_play_does_not_show_is_an_error_of_ours(small_specs: Specs) -> None:
    play = Play(small_specs)
    imagined = Fault(0, "preparation/park", "need", "heat", None, play.layouts.domain)

    with pytest.raises(AssertionError, match="playing that visit does not show it"):
        find_counterexample(small_specs, play.layouts, imagined)


def test_a_way_back_that_leads_forward_is_refused(small_specs: Specs) -> None:
    forward = change(
        small_specs, "gearbox/level", back=back_of(small_specs, "gearbox/level", to="closing/sheet")
    )

    with pytest.raises(ProofError) as refusal:
        prove(forward)

    assert str(refusal.value) == (
        'step "gearbox/level", back.to: found "closing/sheet"; expected a step before it, or itself.'
    )


def test_specs_without_a_job_for_any_car_are_refused(small_specs: Specs) -> None:
    shared = {id: job for id, job in small_specs.jobs.items() if job.shared}
    steps = with_steps(small_specs, (step for step in small_specs.steps if step.job in shared))

    with pytest.raises(ProofError) as refusal:
        prove(steps.model_copy(update={"jobs": shared}))

    assert str(refusal.value) == "specs/jobs: found no job that any car allows; expected at least one."


# Literal play ---------------------------------------------------------------------------------


def literal_faults(specs: Specs, layout: Layout) -> set[tuple[str | None, str, str, str | None]]:
    """Everything that goes wrong in one visit: on the straight way, and then on each way back only."""
    composition = compose(specs, layout.jobs, layout.facts)
    straight = set(told(play_out(specs, composition), None))
    broken = {(kind, id) for _, kind, id, _ in straight if kind in ("rule", "end")}
    known = {(instance, kind, id) for instance, kind, id, _ in straight}
    faults = set(straight)
    for instance in composition["steps"]:
        if specs.steps_by_id[instance["step"]].back is not None:
            faults |= {
                fault
                for fault in told(play_out(specs, composition, instance["id"]), instance["id"])
                if fault[1:3] not in broken and fault[:3] not in known
            }
    return faults


def told(moments: list[Moment], via: str | None) -> Iterator[tuple[str | None, str, str, str | None]]:
    for moment in moments:
        for each in moment.findings:
            yield moment.instance["id"] if moment.instance else None, each.kind, each.id, via


def proved_faults(play: Play, layout: Layout) -> set[tuple[str | None, str, str, str | None]]:
    return {
        (fault.instance, fault.kind, fault.id, fault.via)
        for fault in play.faults
        if fault.kind != "safe" and play.layouts.holds(fault.visits, layout)
    }


def played(specs: Specs) -> Play:
    play = Play(specs)
    play.run()
    return play


def spoil(specs: Specs, random: Random) -> Specs:
    """A few random changes, most of which do harm."""
    for _ in range(random.randint(1, 3)):
        # Steps on standby are in no visit's day; test_closing_up.py is about them.
        step = random.choice([each for each in specs.steps if not each.standby])
        match random.choice(["forget", "drop", "move", "worsen", "back"]):
            case "forget" if step.makes:
                specs = forget(specs, step.id, random.choice(sorted(step.makes)))
            case "drop" if not is_led_back_to(specs, step.id):
                specs = drop(specs, step.id)
            case "worsen" if step.makes:
                base = random.choice(sorted(step.makes))
                worse = random.choice(specs.variables[base].values)
                specs = change(specs, step.id, makes={**step.makes, base: worse})
            case "back":
                base = random.choice(["pedal", "heat", "gear", "wheel"])
                makes = {base: random.choice(specs.variables[base].values)}
                earlier = [
                    other
                    for other in specs.steps[: specs.steps.index(step) + 1]
                    if other.each is None and not other.standby
                ]
                back = specs.steps_by_id["preparation/shake"].back or specs.steps_by_id["gearbox/level"].back
                if back is not None and earlier and step.each is None:
                    new = back.model_copy(update={"to": random.choice(earlier).id, "makes": makes})
                    specs = change(specs, step.id, back=new)
            case "move" if step.back is None and not is_led_back_to(specs, step.id):
                specs = move(
                    specs, step.id, before=random.choice([s.id for s in specs.steps if s is not step])
                )
    return specs


def is_led_back_to(specs: Specs, id: str) -> bool:
    return any(step.back is not None and step.back.to == id for step in specs.steps)


def test_every_visit_of_the_small_catalog_played_literally_goes_well(small_specs: Specs) -> None:
    layouts = list(Play(small_specs).layouts.every())
    faults = [fault for layout in layouts for fault in literal_faults(small_specs, layout)]

    assert len(layouts) == prove(small_specs).visit_count
    assert faults == []


@pytest.mark.parametrize("seed", range(60))
def test_proof_and_literal_play_find_the_same_in_spoilt_specs(seed: int, small_specs: Specs) -> None:
    random = Random(seed)
    specs = spoil(small_specs, random)
    play = played(specs)
    layouts = random.sample(list(play.layouts.every()), 12)

    assert [proved_faults(play, layout) for layout in layouts] == [
        literal_faults(specs, layout) for layout in layouts
    ]


def test_exactly_the_visits_that_go_wrong_are_found(small_specs: Specs) -> None:
    specs = SEEDS["gear-engaged-with-the-brakes-not-firm"](small_specs)
    play = played(specs)
    layouts = list(play.layouts.every())[::3]
    wrong = [layout for layout in layouts if literal_faults(specs, layout)]

    assert wrong == [layout for layout in layouts if proved_faults(play, layout)]
    assert 0 < len(wrong) < len(layouts)
