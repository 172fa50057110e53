"""What a plan decides, buys and lays out: worked on the phone, checked against figures worked by hand."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from fillfirst.catalog.document import write
from fillfirst.specs import load
from fillfirst.visits.compose import compose

SPECS = load(Path(__file__).parents[2] / "specs")
CATALOG = SPECS.model_dump(mode="json", by_alias=True)
ESTATE = "fellside-estate"
OIL = "pack:engine-oil:Overbeck EO-7 (demo):"


def facts_of(car: str) -> dict[str, Any]:
    settings = {
        name: fact.default
        for name, fact in SPECS.facts.items()
        if fact.of == "visit" and fact.default is not None
    }
    return settings | {name: fact.value for name, fact in SPECS.vehicles[car].facts.items()}


def entry(n: int, kind: str, subject: str = "garage", at: str = "08:00", **payload: Any) -> dict[str, Any]:
    return {
        "id": f"e{n}",
        "device": "phone",
        "n": n,
        "hlc": {"ms": n, "c": 0},
        "seen": 0,
        "wall": f"2026-05-04T{at}:00+02:00",
        "kind": kind,
        "v": 1,
        "subject": subject,
        "payload": payload,
    }


def fold(core_page: Any, *told: tuple[str, dict[str, Any]]) -> dict[str, Any]:
    entries = [entry(n, kind, **payload) for n, (kind, payload) in enumerate(told, 1)]
    return dict(core_page.call("inventory.js", "foldInventory", entries))


def kept(of: str, **marks: float) -> tuple[str, dict[str, Any]]:
    assert set(marks) <= set(SPECS.equipment[of].marks)
    told = {name: {"value": value, "typed": str(value), "unit": "1"} for name, value in marks.items()}
    thing = f"{of}-{'-'.join(map(str, marks.values()))}"
    return "thing-kept", {"thing": thing, "of": of, "count": 4 if of == "stands" else 1, "marks": told}


def price(of: str, value: float) -> tuple[str, dict[str, Any]]:
    return "price-written", {"of": of, "value": value, "currency": "EUR"}


def planned(inventory: dict[str, Any], car: str = ESTATE) -> dict[str, Any]:
    composition = compose(SPECS, [id for id, job in SPECS.jobs.items() if not job.shared], facts_of(car))
    return {"catalog": CATALOG, "car": car, "values": composition["facts"], "inventory": inventory}


def decide(
    core_page: Any, job: str, *told: tuple[str, dict[str, Any]], car: str = ESTATE, **day: Any
) -> dict[str, Any]:
    plan = planned(fold(core_page, *told), car)
    composition = compose(SPECS, [job], facts_of(car))
    alone = composition if composition["jobs"] else None
    time = {"work_s": 3600, "wait_s": 900, "people": 1, "numbers": [], **day}
    return dict(core_page.call("decide.js", "decide", plan, job, alone, time))


EVERYTHING = [
    kept(kind)
    for kind in (
        "jack",
        "stands",
        "fire-extinguisher",
        "spill-binder",
        "drain-pan",
        "can",
        "exhaust-hose",
        "carbon-monoxide-alarm",
    )
]
#: Every price of the oil service: packs of 5 l and 1 l, a filter with its seals, a washer, no fee for waste.
PRICES = [
    price(f"{OIL}5 l", 40),
    price(f"{OIL}1 l", 10),
    price("part:DEMO 10-417", 12),
    price(f"part:{ESTATE}:engine-oil/filter-cap-seal", 3),
    price("part:DEMO 10-433", 1),
    price("waste:used-oil", 0),
]


def test_a_thing_said_again_is_replaced_and_one_that_is_gone_is_kept_in_mind(core_page: Any) -> None:
    first, again = kept("jack", rating=2000), kept("jack", rating=2000)
    again[1]["marks"]["rating"]["value"] = 3000
    gone = ("thing-gone", {"thing": kept("can")[1]["thing"], "because": "lent"})

    inventory = fold(core_page, first, again, kept("can"), gone)

    assert [thing["marks"]["rating"]["value"] for thing in inventory["things"].values()] == [3000]
    assert [(thing["of"], thing["because"]) for thing in inventory["gone"]] == [("can", "lent")]


def test_a_price_keeps_its_past(core_page: Any) -> None:
    inventory = fold(core_page, price("hour", 15), price("hour", 20))

    assert [each["value"] for each in inventory["prices"]["hour"]] == [15, 20]
    assert core_page.call("inventory.js", "priceOf", inventory, "hour")["value"] == 20


def test_what_was_decided_before_the_last_visit_is_done_with(core_page: Any) -> None:
    entries = [
        entry(1, "service-decided", "car", "08:00", job="engine-oil", choice="home"),
        entry(2, "line-ticked", "car", "08:05", line="fluid:oil", done=True),
        entry(3, "service-decided", "car", "18:00", job="brake-fluid", choice="hand-over"),
    ]

    plan = core_page.call("inventory.js", "foldPlan", entries, "2026-05-04T09:00:00+02:00")

    assert {job: one["choice"] for job, one in plan["decisions"].items()} == {"brake-fluid": "hand-over"}
    assert [one["job"] for one in plan["decided"]] == ["engine-oil", "brake-fluid"]
    assert plan["ticks"] == {}


@pytest.mark.parametrize(
    ("torque", "chosen"), [(24, "small"), (8, "small"), (30, None), (45, "long"), (200, "long"), (201, None)]
)
def test_a_wrench_is_trusted_from_a_fifth_of_its_largest_value(
    torque: float, chosen: str | None, core_page: Any
) -> None:
    small, long = kept("torque-wrench", least=5, most=25), kept("torque-wrench", least=20, most=200)
    small[1]["thing"], long[1]["thing"] = "small", "long"
    inventory = fold(core_page, small, long)

    found = core_page.call("inventory.js", "wrenchesFor", inventory, torque)

    assert [thing["id"] for thing in found] == ([chosen] if chosen else [])


def test_a_garage_with_everything_and_a_dearer_offer_says_home(core_page: Any) -> None:
    judged = decide(core_page, "engine-oil", *EVERYTHING, *PRICES, price(f"quote:{ESTATE}:engine-oil", 150))

    assert judged["verdict"] == "home"
    assert judged["missing"] == []
    # Two cans of one litre and one of five hold the 6.8 l; 40 + 20 + 12 + 3 + 1.
    assert judged["cost"]["known"] == 76
    assert judged["cost"]["unknown"] == []
    assert {"code": "cheaper", "by": 74} in judged["reasons"]


def test_what_is_missing_comes_before_home(core_page: Any) -> None:
    judged = decide(core_page, "engine-oil", *EVERYTHING[1:], *PRICES, price("tool:jack", 120))

    assert judged["verdict"] == "home-once"
    assert [need["kept"] for need in judged["missing"]] == [["jack"]]
    # A tenth of the jack is this service's share.
    assert judged["cost"]["tools"] == 12


def test_an_offer_below_the_cost_at_home_says_hand_it_over(core_page: Any) -> None:
    judged = decide(
        core_page,
        "engine-oil",
        *EVERYTHING,
        *PRICES,
        price("hour", 30),
        price(f"quote:{ESTATE}:engine-oil", 100),
    )

    assert judged["verdict"] == "hand-over"
    assert judged["reasons"][0] == {"code": "dearer", "by": 6}


def test_the_only_service_of_its_day_bears_all_the_work_around_it(core_page: Any) -> None:
    told = (*EVERYTHING, *PRICES, price("hour", 30))

    alone = decide(core_page, "engine-oil", *told, around_s=7200)
    beside = decide(core_page, "engine-oil", *told, around_s=7200, others=["engine-oil", "brake-fluid"])

    assert (alone["cost"]["visit"], alone["cost"]["sharers"], alone["cost"]["known"]) == (60, 1, 166)
    assert (beside["cost"]["visit"], beside["cost"]["sharers"], beside["cost"]["known"]) == (30, 2, 136)


def test_a_can_that_two_services_pour_from_is_paid_by_the_litre(core_page: Any) -> None:
    jobs = ["front-final-drive", "rear-final-drive"]
    facts = facts_of(ESTATE)
    label = {name: facts[f"front_final_drive_{name}"] for name in ("approval", "grade")}
    same = {f"rear_final_drive_{name}": value for name, value in label.items()}
    sizes = next(each.packs for each in SPECS.jobs[jobs[0]].supplies if each.fluid)
    of = f"pack:{SPECS.jobs[jobs[0]].supplies[0].fluid}:{label['approval']}"
    prices = [price(f"{of}:{size.shown}", 12) for size in sizes]
    plan = planned(fold(core_page, *prices))
    plan["values"] |= same | {"rear_final_drive_limited_slip": False}
    time = {"work_s": 0, "wait_s": 0, "people": 1, "numbers": []}

    def cost(job: str, others: list[str]) -> float:
        judged = core_page.call("decide.js", "decide", plan, job, None, time | {"others": others})
        return float(judged["cost"]["fluids"])

    together = core_page.call("shopping.js", "listShopping", plan, jobs)["fluids"][0]["price"]
    shares = [cost(job, jobs) for job in jobs]

    assert sum(shares) == pytest.approx(together)
    assert sum(shares) <= sum(cost(job, []) for job in jobs)


def test_prices_that_nobody_typed_are_named(core_page: Any) -> None:
    judged = decide(core_page, "engine-oil", *EVERYTHING, price(f"quote:{ESTATE}:engine-oil", 100))

    assert judged["cost"]["unknown"] == ["fluids", "parts", "waste"]
    assert judged["verdict"] == "home"


def test_a_service_that_a_hazard_reserves_is_always_handed_over(core_page: Any) -> None:
    values = facts_of("churn-van")

    reserved = core_page.call("decide.js", "reservedServices", CATALOG, values)
    judged = [decide(core_page, job, *EVERYTHING, car="churn-van") for job in reserved]

    assert reserved == ["coolant-low-temperature", "coolant-third"]
    assert {one["verdict"] for one in judged} == {"hand-over"}
    assert judged[0]["reasons"] == [{"code": "reserved", "hazard": "high-voltage"}]


def test_one_oil_for_two_units_is_bought_once(core_page: Any) -> None:
    plan = planned(fold(core_page))
    jobs = ["front-final-drive", "rear-final-drive"]
    values = plan["values"] | {
        "rear_final_drive_approval": plan["values"]["front_final_drive_approval"],
        "rear_final_drive_grade": plan["values"]["front_final_drive_grade"],
    }

    shopping = core_page.call("shopping.js", "listShopping", plan | {"values": values}, jobs)

    oil = shopping["fluids"][0]
    assert [source["job"] for source in oil["sources"]] == jobs
    assert oil["need"] == pytest.approx(sum(source["need"] for source in oil["sources"]))
    assert oil["volume"] >= oil["need"] - 1e-9


def test_washers_of_one_number_are_counted_together(core_page: Any) -> None:
    plan = planned(fold(core_page))

    shopping = core_page.call("shopping.js", "listShopping", plan, ["front-final-drive", "rear-final-drive"])

    washers = next(line for line in shopping["parts"] if line["number"] == "DEMO 31-022")
    assert washers["count"] == 3
    assert washers["titles"] == ["Sealing washer or ring, fill plug", "Sealing washer or ring, drain plug"]


def test_the_torques_of_the_day_that_no_wrench_covers_are_ranges_to_look_for(core_page: Any) -> None:
    jobs = ["engine-oil", "automatic-gearbox"]
    composition = compose(SPECS, jobs, facts_of(ESTATE))
    plan = planned(fold(core_page, kept("torque-wrench", least=20, most=200)))

    torques = core_page.call("outfit.js", "listTorques", plan, composition)
    ranges = core_page.call("outfit.js", "findRanges", torques)

    assert [line["torque"] for line in torques] == sorted(line["torque"] for line in torques)
    uncovered = [line["torque"] for line in torques if line["wrench"] is None]
    assert uncovered
    assert all(one["most"] <= one["least"] * 5 + 1e-9 for one in ranges)
    assert all(any(one["least"] <= torque <= one["most"] for one in ranges) for torque in uncovered)


def test_pans_and_cans_hold_what_comes_out(core_page: Any) -> None:
    pan, can = kept("drain-pan", holds=0.008), kept("can", holds=0.005)
    plan = planned(fold(core_page, pan, can))

    vessels = core_page.call("outfit.js", "listVessels", plan, ["engine-oil", "transfer-case", "brake-fluid"])

    oil, brake = vessels
    capacity = {name: plan["values"][f"{name}_capacity"] for name in ("engine_oil", "transfer_case")}
    assert oil["stream"] == "used-oil"
    # What is bought in reserve never comes out of the car.
    assert oil["out"] == pytest.approx(sum(capacity.values()))
    assert oil["largest"] == capacity["engine_oil"]
    assert oil["pan"]["id"] == pan[1]["thing"]
    assert oil["cans"] < oil["out"]
    assert brake["jobs"] == ["brake-fluid"]


def test_how_much_comes_out_is_unknown_while_one_filling_is(core_page: Any) -> None:
    plan = planned(fold(core_page))
    del plan["values"]["transfer_case_capacity"]

    [oil] = core_page.call("outfit.js", "listVessels", plan, ["engine-oil", "transfer-case"])

    assert (oil["out"], oil["largest"]) == (None, plan["values"]["engine_oil_capacity"])


def test_what_cools_while_hands_work_is_not_waited_for_twice(core_page: Any) -> None:
    composition = compose(SPECS, ["engine-oil"], facts_of(ESTATE))
    steps = [SPECS.steps_by_id[instance["step"]] for instance in composition["steps"]]
    told = core_page.call("durations.js", "tellDurations", CATALOG, composition, None)

    spent = core_page.call("in-turn.js", "spendInTurn", CATALOG, composition)

    assert any(step.since for step in steps)
    assert spent["work_s"] == pytest.approx(sum(step.work_s for step in steps))
    assert 0 < spent["wait_s"] < sum(each["wait_s"] for each in told.values())


def test_the_house_works_as_it_is_equipped(core_page: Any) -> None:
    helped = fold(core_page, kept("lift"), kept("second-person"))
    bare = fold(core_page)
    ask = [CATALOG, facts_of(ESTATE) | {}, ["brake-fluid"]]

    guesses = core_page.call_all("outfit.js", "guessSettings", [[*ask, helped], [*ask, bare]])

    assert guesses == [{"brake_bleeding": "two-person", "lifting": "lift"}, {}]


def test_a_price_from_a_phone_that_knew_no_currency_leaves_that_of_the_house(core_page: Any) -> None:
    unsaid = ("price-written", {"of": "hour", "value": 20, "currency": ""})

    inventory = fold(core_page, price("currency", 1), unsaid)

    assert inventory["currency"] == "EUR"
    assert inventory["prices"]["hour"][0]["currency"] == "EUR"


def test_a_price_taken_back_is_none_and_its_past_stays(core_page: Any) -> None:
    inventory = fold(core_page, price("hour", 20), ("price-withdrawn", {"of": "hour"}))

    assert core_page.call("inventory.js", "priceOf", inventory, "hour") is None
    assert [said["value"] for said in inventory["prices"]["hour"]] == [20, None]


def test_answers_are_offered_in_the_order_in_which_they_were_written(core_page: Any) -> None:
    served = json.loads(write(SPECS).json)["facts"]
    asked = {name: list(fact.options) for name, fact in SPECS.facts.items() if fact.options}

    offered = core_page.call_all("options.js", "optionsOf", [[served[name]] for name in asked])

    assert [[id for id, _ in each] for each in offered] == list(asked.values())
    assert any(ids != sorted(ids) for ids in asked.values())


def test_an_older_catalog_offers_its_answers_as_they_come(core_page: Any) -> None:
    assert core_page.call("options.js", "optionsOf", {"options": {"b": "B", "a": "A"}}) == [
        ["b", "B"],
        ["a", "A"],
    ]
