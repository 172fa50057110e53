"""Every layout of a car that the shipped specs speak of has a visit of its own, whole and with its own steps.

That no such visit goes wrong is the proof's to show; here it is shown that there is one.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from fillfirst.specs import Specs, load
from fillfirst.specs.linked import Value
from fillfirst.visits.compose import compose
from fillfirst.visits.layouts import proof_items
from fillfirst.visits.shapes import Composition

FOLDER = Path(__file__).parents[2] / "specs"
ALL_WHEELS: dict[str, Value] = {"driven_wheels": "all", "has_transfer_case": True}


@cache
def load_shipped() -> Specs:
    return load(FOLDER)


def describe(**answers: Value) -> dict[str, Value]:
    """A car of which everything is known that decides about steps: the plainest, but for these answers."""
    facts: dict[str, Value] = {}
    for name, fact in load_shipped().facts.items():
        if fact.kind == "yes-no":
            facts[name] = False
        elif fact.kind == "choice" and fact.options:
            facts[name] = next(iter(fact.options))
        elif fact.kind == "list":
            facts[name] = proof_items(fact)
    return facts | answers


def plan(jobs: list[str], **answers: Value) -> Composition:
    composition = compose(load_shipped(), jobs, describe(**answers))
    assert composition["missing"] == []
    return composition


def steps_of(composition: Composition) -> set[str]:
    return {instance["step"] for instance in composition["steps"]}


#: What the layout is; the job, the answers that make it, steps it has, and steps it does not have.
LAYOUTS: list[tuple[str, str, dict[str, Value], list[str], list[str]]] = [
    (
        "engine oil is read on a dipstick",
        "engine-oil",
        {"engine_oil_level": "dipstick"},
        ["read-level", "top-up", "level-set"],
        ["wake-display", "display-idling"],
    ),
    (
        "engine oil is read in a display with the engine off",
        "engine-oil",
        {"engine_oil_level": "electronic", "engine_oil_display": "standing"},
        ["wake-display", "read-level", "level-set"],
        ["display-idling", "display-after-drive"],
    ),
    (
        "engine oil is read in a display while the engine idles",
        "engine-oil",
        {"engine_oil_level": "electronic", "engine_oil_display": "idling"},
        ["display-idling", "level-by-count", "display-after-drive"],
        ["wake-display", "let-it-settle", "level-set"],
    ),
    (
        "engine oil is sucked out, through a spin-on filter",
        "engine-oil",
        {"engine_oil_drain": "suction", "oil_filter": "spin-on"},
        ["suck-out", "filter-can-off", "filter-can-turn"],
        ["drain-plug-out", "cartridge-in"],
    ),
    (
        "an automatic gearbox is set at its overflow",
        "automatic-gearbox",
        {"gearbox": "automatic-overflow", "automatic_gearbox_filter": "separate"},
        ["loosen-fill-plug", "change-filter", "set-level", "still-in-window", "count-in"],
        ["pull-dipstick", "read-dipstick", "cartridge-in"],
    ),
    (
        "an automatic gearbox is read on a dipstick, hot and idling",
        "automatic-gearbox",
        {"gearbox": "automatic-dipstick", "automatic_gearbox_drain": "pan"},
        ["pull-dipstick", "first-fill-by-tube", "read-dipstick", "dipstick-set", "dipstick-home"],
        ["loosen-fill-plug", "set-level", "open-fill-plug-running"],
    ),
    (
        "a wet dual-clutch gearbox gets fluid and cartridge, its pan left on",
        "automatic-gearbox",
        {
            "gearbox": "dual-clutch",
            "automatic_gearbox_drain": "tube",
            "automatic_gearbox_filter": "cartridge",
        },
        ["take-out-tube", "read-drained", "cartridge-in", "fit-tube", "set-level"],
        ["let-pan-down", "change-filter", "read-dipstick"],
    ),
    (
        "a continuously variable gearbox is set at its overflow",
        "automatic-gearbox",
        {"gearbox": "cvt-overflow", "automatic_gearbox_filter": "in-pan"},
        ["let-pan-down", "ready-new-pan", "set-level"],
        ["read-dipstick", "cartridge-in"],
    ),
    (
        "a continuously variable gearbox is read on a dipstick",
        "automatic-gearbox",
        {"gearbox": "cvt-dipstick", "automatic_gearbox_filter": "none"},
        ["take-out-drain-plug", "read-drained", "read-dipstick", "count-in-by-tube"],
        ["let-pan-down", "set-level"],
    ),
    (
        "a hybrid's gearbox is set only in the service mode that holds its engine",
        "automatic-gearbox",
        {"powertrain": "hybrid", "gearbox": "automatic-overflow"},
        ["hybrid-service-mode"],
        [],
    ),
    (
        "a manual gearbox is filled to the lip",
        "manual-gearbox",
        {"gearbox": "manual"},
        ["loosen-fill-plug", "pump-in", "set-level"],
        [],
    ),
    (
        "a gear unit without a drain plug is sucked out",
        "rear-final-drive",
        {"driven_wheels": "rear", "has_rear_final_drive": True, "rear_final_drive_drain": "suction"},
        ["suck-out"],
        ["take-out-drain-plug", "tighten-drain-plug"],
    ),
    (
        "limited-slip plates get their additive",
        "rear-final-drive",
        {"driven_wheels": "rear", "has_rear_final_drive": True, "rear_final_drive_limited_slip": True},
        ["check-additive", "put-in-additive"],
        [],
    ),
    (
        "the reduction gear of an electric car is opened where its maker allows it",
        "reduction-gear",
        {"powertrain": "electric", "reduction_gear_may_be_opened": True},
        ["loosen-fill-plug", "set-level"],
        [],
    ),
    (
        "drum brakes are looked at before they are bled",
        "brake-fluid",
        {"brakes": "rear-drums"},
        ["drums-dry", "open-nipple"],
        [],
    ),
    (
        "disc brakes are not looked at for drums",
        "brake-fluid",
        {"brakes": "discs"},
        ["open-nipple"],
        ["drums-dry"],
    ),
    (
        "two people bleed the brakes",
        "brake-fluid",
        {"brake_bleeding": "two-person"},
        ["seat-helper", "pump-nipple"],
        ["connect-bleeder", "open-nipple"],
    ),
    (
        "a clutch that drinks from the brake reservoir is bled with it",
        "brake-fluid",
        {"gearbox": "manual", "clutch_hydraulics": "shared"},
        ["open-clutch-nipple", "tighten-clutch-nipple", "clutch-pedal"],
        [],
    ),
    (
        "a brake unit that wakes by itself is put to rest first",
        "brake-fluid",
        {"brake_service_state": True},
        ["service-state-on", "service-state-off"],
        [],
    ),
    (
        "ready mixed coolant is only judged",
        "coolant-main",
        {"coolant_main_kind": "premix"},
        ["premix-enough", "ready-mix-out"],
        ["mix", "enough-out"],
    ),
    (
        "concentrate is mixed for what stayed inside",
        "coolant-main",
        {"coolant_main_kind": "concentrate", "coolant_main_rinsed": True},
        ["enough-out", "rinse", "mix"],
        ["premix-enough"],
    ),
    (
        "coolant is drawn in by vacuum",
        "coolant-main",
        {"coolant_main_fill": "vacuum"},
        ["pull-vacuum", "hold-vacuum", "vacuum-stood", "fill-by-vacuum"],
        ["pour-slowly", "bleed-screw-open"],
    ),
    (
        "coolant is poured in, its air let out at a bleed screw",
        "coolant-main",
        {"coolant_main_fill": "gravity", "coolant_main_bleed_screws": True},
        ["bleed-screw-open", "pour-slowly", "bleed-screw-shut"],
        ["pull-vacuum"],
    ),
    (
        "an engine is warmed until its thermostat opens",
        "coolant-main",
        {"coolant_main_circulation": "warm-up", "coolant_main_heater": True},
        ["before-warm-up", "warm-up", "heater-warm"],
        ["run-pump"],
    ),
    (
        "an electric car moves its coolant with a pump",
        "coolant-main",
        {"powertrain": "electric", "coolant_main_circulation": "pump"},
        ["run-pump"],
        ["warm-up", "run-pump-still"],
    ),
    (
        "what belongs to the high-voltage side is handed over",
        "high-voltage-side",
        {"powertrain": "hybrid", "coolant_main_high_voltage": True},
        ["look-from-outside", "hand-over"],
        [],
    ),
    (
        "hydraulic steering is renewed through its return hose",
        "power-steering",
        {"power_steering": "hydraulic", "power_steering_method": "return-hose"},
        ["take-off-return-hose", "push-through"],
        ["change-and-change-again"],
    ),
    (
        "hydraulic steering is renewed by way of its reservoir",
        "power-steering",
        {"power_steering": "hydraulic", "power_steering_method": "reservoir"},
        ["change-and-change-again"],
        ["take-off-return-hose"],
    ),
]


@pytest.mark.parametrize(
    ("job", "answers", "own", "foreign"), [row[1:] for row in LAYOUTS], ids=[row[0] for row in LAYOUTS]
)
def test_a_layout_has_its_own_visit(
    job: str, answers: dict[str, Value], own: list[str], foreign: list[str]
) -> None:
    steps = steps_of(plan([job], **answers))

    assert {f"{job}/{step}" for step in own} - steps == set()
    assert {f"{job}/{step}" for step in foreign} & steps == set()


@pytest.mark.parametrize(
    ("front", "rear"),
    [(True, True), (True, False), (False, True)],
    ids=["two-final-drives", "one-in-front", "one-behind"],
)
def test_a_four_wheel_drive_has_its_transfer_case_and_its_final_drives(front: bool, rear: bool) -> None:
    jobs = ["transfer-case", "front-final-drive", "rear-final-drive"]

    composition = plan(jobs, **ALL_WHEELS, has_front_final_drive=front, has_rear_final_drive=rear)

    wanted = {"transfer-case": True, "front-final-drive": front, "rear-final-drive": rear}
    assert set(composition["jobs"]) == {job for job in jobs if wanted[job]}


@pytest.mark.parametrize(
    ("second", "third", "circuits"),
    [
        (False, False, ["coolant-main"]),
        (True, False, ["coolant-main", "coolant-low-temperature"]),
        (True, True, ["coolant-main", "coolant-low-temperature", "coolant-third"]),
    ],
    ids=["one", "two", "three"],
)
def test_each_coolant_circuit_of_a_car_has_its_own_job(
    second: bool, third: bool, circuits: list[str]
) -> None:
    every = ["coolant-main", "coolant-low-temperature", "coolant-third"]

    composition = plan(every, has_low_temperature_circuit=second, has_third_circuit=third)

    assert sorted(composition["jobs"]) == sorted(circuits)


@pytest.mark.parametrize("circuit", ["main", "low_temperature", "third"])
def test_a_circuit_of_the_high_voltage_side_is_never_opened_here(circuit: str) -> None:
    id = f"coolant-{circuit.replace('_', '-')}"
    answers = {"has_low_temperature_circuit": True, "has_third_circuit": True}

    composition = plan(
        [id, "high-voltage-side"],
        powertrain="electric",
        **{f"coolant_{circuit}_high_voltage": True},
        **answers,
    )

    assert composition["jobs"] == ["high-voltage-side"]


def test_a_reduction_gear_stays_closed_where_its_maker_names_no_change() -> None:
    composition = plan(["reduction-gear", "high-voltage-side"], powertrain="electric")

    assert composition["jobs"] == ["high-voltage-side"]


def test_both_nipples_of_a_caliper_are_bled_in_the_order_of_the_list() -> None:
    nipples = ["rear-right", "rear-left", "front-right-outer", "front-right-inner"]

    composition = plan(["brake-fluid"], brake_nipples=nipples)

    tightened = [
        each["item"] for each in composition["steps"] if each["step"] == "brake-fluid/tighten-nipple"
    ]
    assert tightened == nipples


def test_every_bad_finding_leads_back_or_stands_still() -> None:
    """But for the last look of all, after the drive: it goes on the record, and nothing comes after it."""
    loose = [
        step.id
        for step in load_shipped().steps
        if step.back is None and any(not finding.good for finding in step.findings)
    ]

    assert loose == ["automatic-gearbox/feel-shifts"]


def test_every_fluid_that_is_watched_has_a_way_back_when_it_grows_too_hot() -> None:
    ceilings = [step for step in load_shipped().steps if step.window is not None]

    assert [step.id for step in ceilings if step.back is None] == []
    assert ceilings
