"""The form for every layout that the procedures know: each answer leads on, and at its end nothing lacks."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from phones import Phone, Server
from playwright.sync_api import Browser
from screen_visits import make_phone

FORM = (Path(__file__).parent / "form.js").read_text().rstrip().rstrip(";")
#: So many cars of chance reach each answer of each question several times over.
CHANCE_CARS = 60

COMBUSTION = {"powertrain": "combustion", "driven_wheels": "front", "gearbox": "manual"}
VAN = {"powertrain": "electric", "driven_wheels": "front"}
ALL_WHEELS = COMBUSTION | {"driven_wheels": "all", "has_transfer_case": True}

#: Each layout: what the owner answers, a service that must be offered then, and something that must be asked.
LAYOUTS: dict[str, tuple[dict[str, Any], str, str]] = {
    "level by dipstick": (
        COMBUSTION | {"engine_oil_level": "dipstick"},
        "engine-oil",
        "engine_oil_dipstick_span",
    ),
    "level in the display": (
        COMBUSTION | {"engine_oil_level": "electronic"},
        "engine-oil",
        "engine_oil_display",
    ),
    "oil sucked out": (COMBUSTION | {"engine_oil_drain": "suction"}, "engine-oil", "engine_oil_capacity"),
    "spin-on filter": (COMBUSTION | {"oil_filter": "spin-on"}, "engine-oil", "engine_oil_filter_turn"),
    "filter cartridge": (COMBUSTION | {"oil_filter": "cartridge"}, "engine-oil", "engine_oil_filter_torque"),
    "automatic with overflow": (
        COMBUSTION | {"gearbox": "automatic-overflow"},
        "automatic-gearbox",
        "automatic_gearbox_filter",
    ),
    "automatic with dipstick": (
        COMBUSTION | {"gearbox": "automatic-dipstick"},
        "automatic-gearbox",
        "automatic_gearbox_dipstick_selector",
    ),
    "wet dual-clutch": (
        COMBUSTION | {"gearbox": "dual-clutch", "automatic_gearbox_filter": "cartridge"},
        "automatic-gearbox",
        "automatic_gearbox_drain",
    ),
    "continuously variable": (
        COMBUSTION | {"gearbox": "cvt-overflow"},
        "automatic-gearbox",
        "automatic_gearbox_filter",
    ),
    "manual": (COMBUSTION, "manual-gearbox", "manual_gearbox_fill_plug_torque"),
    "one final drive": (
        ALL_WHEELS | {"has_front_final_drive": False, "has_rear_final_drive": True},
        "rear-final-drive",
        "rear_final_drive_capacity",
    ),
    "two final drives": (
        ALL_WHEELS | {"has_front_final_drive": True, "has_rear_final_drive": True},
        "front-final-drive",
        "front_final_drive_capacity",
    ),
    "drum brakes": (COMBUSTION | {"brakes": "drums"}, "brake-fluid", "brake_nipple_size"),
    "two nipples a caliper": (
        COMBUSTION | {"brakes": "discs", "brake_nipples": ["rear-right-inner", "rear-right-outer"]},
        "brake-fluid",
        "brake_nipples",
    ),
    "shared clutch circuit": (
        COMBUSTION | {"clutch_hydraulics": "shared"},
        "brake-fluid",
        "clutch_nipple_size",
    ),
    "one coolant circuit": (
        COMBUSTION | {"has_low_temperature_circuit": False},
        "coolant-main",
        "coolant_main_capacity",
    ),
    "two coolant circuits": (
        COMBUSTION | {"has_low_temperature_circuit": True, "has_third_circuit": False},
        "coolant-low-temperature",
        "coolant_low_temperature_capacity",
    ),
    "three coolant circuits": (
        COMBUSTION | {"has_low_temperature_circuit": True, "has_third_circuit": True},
        "coolant-third",
        "coolant_third_capacity",
    ),
    "premixed coolant": (
        COMBUSTION | {"coolant_main_kind": "premix"},
        "coolant-main",
        "coolant_main_approval",
    ),
    "concentrate": (
        COMBUSTION | {"coolant_main_kind": "concentrate"},
        "coolant-main",
        "coolant_main_strength",
    ),
    "vacuum filling": (COMBUSTION | {"coolant_main_fill": "vacuum"}, "coolant-main", "coolant_main_fill"),
    "gravity with bleed screws": (
        COMBUSTION | {"coolant_main_fill": "gravity", "coolant_main_bleed_screws": True},
        "coolant-main",
        "coolant_main_bleed_screws",
    ),
    "hybrid": (COMBUSTION | {"powertrain": "hybrid"}, "high-voltage-side", "coolant_main_high_voltage"),
    "electric": (
        VAN | {"reduction_gear_may_be_opened": True},
        "reduction-gear",
        "reduction_gear_fill_plug_torque",
    ),
    "electric, handed over": (
        VAN | {"coolant_main_high_voltage": True, "reduction_gear_may_be_opened": False},
        "high-voltage-side",
        "coolant_main_high_voltage",
    ),
}


@pytest.fixture(scope="module")
def phone(chromium: Browser, workshop: Server) -> Iterator[Phone]:
    phone = make_phone(chromium, workshop)
    yield phone
    phone.context.close()


def fill_in(phone: Phone, cars: list[dict[str, Any]]) -> list[dict[str, Any]]:
    filled: list[dict[str, Any]] = phone.ask(f"(cars) => ({FORM})(cars)", cars)
    return filled


@pytest.mark.parametrize("layout", LAYOUTS)
def test_form_of_a_layout_asks_what_its_services_need_and_nothing_is_missing(
    phone: Phone, layout: str
) -> None:
    answers, service, asked = LAYOUTS[layout]

    (form,) = fill_in(phone, [{"answers": answers, "seed": 1}])

    assert form["problems"] == []
    assert service in form["jobs"]
    assert asked in [*form["questions"], *form["numbers"]]


def test_every_answer_to_every_question_leads_to_a_whole_form(phone: Phone) -> None:
    forms = fill_in(phone, [{"answers": {}, "seed": seed} for seed in range(1, CHANCE_CARS + 1)])

    given = {(name, str(value).lower()) for form in forms for name, value in form["questions"].items()}
    asked = {name for name, _ in given}
    facts = phone.ask("fillfirst.catalog.facts")
    options = {
        name: list(facts[name]["options"] or ["true", "false"])
        for name in asked
        if facts[name]["kind"] != "list"
    }
    assert [problem for form in forms for problem in form["problems"]] == []
    assert {(name, option) for name, all in options.items() for option in all} - given == set()
