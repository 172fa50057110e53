"""A car typed in on the screen: asked from the facts, sourced, questioned, corrected, worked on, shared."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from phones import Phone, Server, read_log
from playwright.sync_api import Browser
from screen_visits import WALK, ask_look, make_phone, start_afresh

NEXT = ".car-page > footer .action"
SAVE = ".fact-foot .action"

#: What a sheet asks for, and what the owner of a demo car would say.
QUESTION = """
(like) => {
  const name = document.querySelector(".fact-sheet").dataset.fact;
  const { kind, options, unit, from, to } = fillfirst.catalog.facts[name];
  const known = fillfirst.catalog.vehicles[like].facts[name];
  return { name, kind, value: known?.value ?? null, shown: known?.shown ?? null };
}
"""
ASKED_SOMETHING_ELSE = "(name) => document.querySelector('.fact-sheet')?.dataset.fact !== name"
OWN = "(id) => fillfirst.cars().find((car) => car.id === id).own"
EXPORT = "async (id) => (await fillfirst.loadGarage()).exportSheet(id).text()"
COPY = """
async ({ like, isOwn }) => {
  const garage = await fillfirst.loadGarage();
  const text = await garage.exportSheet(like).text();
  return (await garage.importSheet(text, { asNew: true, isOwn, by: "Ida" })).id;
}
"""


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.check()


class Owner:
    """Somebody who fills in the form of a car with what is known of a demo car like it."""

    def __init__(self, phone: Phone, like: str) -> None:
        self.phone = phone
        self.page = phone.page
        self.like = like
        self.car = ""

    def add_car(self, **fields: str) -> Owner:
        self.go("#/car/new")
        for name, text in {"title": "Our tern", "plate": "DEMO 77", "by": "Ida", **fields}.items():
            self.page.fill(f"#car-{name}", text)
        self.press(NEXT)
        self.page.locator(".car-page .fold").first.wait_for()
        self.car = str(self.phone.ask("decodeURIComponent(location.hash.split('/')[2])"))
        return self

    def open(self, car: str) -> Owner:
        self.car = car
        self.go(f"#/car/{car}")
        self.page.locator(".car-page .fold").first.wait_for()
        return self

    def go(self, address: str) -> None:
        self.page.evaluate("(address) => (location.hash = address)", address)

    def press(self, selector: str) -> None:
        """As the keyboard does it: a finger would have to wait for a moment after each change."""
        button = self.page.locator(f"{selector}:visible").first
        button.wait_for()
        button.dispatch_event("click")

    def answer_all(self) -> list[str]:
        """Press what comes next and say what is asked, sheet after sheet, until nothing is."""
        asked: list[str] = []
        self.press(NEXT)
        self.page.locator(".fact-sheet").wait_for()
        while self.page.locator(".fact-sheet").count() > 0:
            asked.append(self.answer())
        return asked

    def answer(self) -> str:
        question = self.phone.ask(QUESTION, self.like)
        self.say(question)
        self.name_source("212")
        self.press(SAVE)
        self.phone.wait_for(ASKED_SOMETHING_ELSE, question["name"])
        return str(question["name"])

    def say(self, question: dict[str, Any]) -> None:
        value = question["value"]
        if question["kind"] in ("choice", "yes-no"):
            said = str(value).lower() if isinstance(value, bool) else value
            self.press(
                f".fact-stage .choice[data-value='{said}']" if value is not None else ".fact-stage .choice"
            )
        elif question["kind"] == "quantity":
            self.type(question["shown"].replace(".", ",").replace("*", "·"))
        else:
            if self.page.locator("#fact-text").count():
                self.page.fill("#fact-text", ", ".join(value) if isinstance(value, list) else value)
            self.press(".fact-foot .action")

    def type(self, text: str) -> None:
        self.page.fill("#quantity", text)
        self.press(".keep")

    def name_source(self, page: str) -> None:
        """The first time all of it; from then on the manual stands there, and a page will do."""
        self.page.locator(".source").wait_for()
        if self.page.locator(".source-choice").count():
            self.press(".source-choice[data-value=makers-manual]")
            self.page.fill("#source-document", "Owner’s book")
        self.page.fill("#source-page", page)

    def choose(self, *jobs: str) -> None:
        for job in jobs:
            self.page.locator(f"input[name=wanted][value={job}]").dispatch_event("click")

    def open_fact(self, name: str) -> None:
        self.page.locator(f"[data-fact={name}]").first.dispatch_event("click")

    def facts(self) -> dict[str, Any]:
        return dict(self.phone.ask(OWN, self.car)["facts"])

    def history(self, name: str) -> list[dict[str, Any]]:
        return list(self.phone.ask(OWN, self.car)["history"][name])


def test_a_car_entered_from_blank_offline_is_planned_finished_and_found_on_the_server(
    server: Server, phones: Callable[..., Phone]
) -> None:
    phone = phones(server).let_in()
    phone.cut()
    page = phone.page
    page.get_by_role("button", name="Add a car").tap()
    owner = Owner(phone, "pippin-hatch").add_car(odometer="84.210", vin="1m8gdm9axkp042788")
    questions = owner.answer_all()
    owner.choose("engine-oil")
    numbers = owner.answer_all()
    phone.wait_for("location.hash.startsWith('#/plan/')")
    assert {"powertrain", "gearbox", "oil_filter", "engine_oil_drain"} <= set(questions)
    assert {"engine_oil_capacity", "engine_oil_drain_plug_torque", "jacking_points"} <= set(numbers)
    assert not {"brake_nipple_size", "manual_gearbox_grade"} & set(numbers)
    withdraw(owner, "engine_oil_drain_plug_torque")

    owner.go(f"#/plan/{owner.car}")
    page.locator("input[name=service][value=engine-oil]:checked").wait_for(state="attached")
    missing = page.locator(".missing-numbers .fact-row").all_text_contents()
    owner.press(".plan > footer .action")
    phone.wait_for("location.hash.startsWith('#/work/')")
    visit = str(phone.ask("location.hash.split('/')[2]"))
    assert len(missing) == 1
    assert "asked at 1 step" in missing[0]
    walk(phone, visit, id="engine-oil/drain-plug-torque")
    page.locator(".asking-card").wait_for()
    assert ask_look(phone, "tooSmall") + ask_look(phone, "tooFaint", 7) == []
    owner.press(".give")
    page.fill("#quantity", "18 lb")
    phone.reload()
    owner.press(".open-screen footer .action")
    owner.press(".give")
    assert page.locator("#quantity").input_value() == "18 lb"
    owner.type("18 lb-ft")
    owner.name_source("17")
    owner.press(SAVE)
    page.locator(".step-card[data-step='engine-oil/drain-plug-torque'] .hero").wait_for()
    assert page.locator(".hero .value").inner_text().split() == ["18", "lbf·ft"]
    walk(phone, visit)
    page.locator(".hold-button").focus()
    page.keyboard.press("Enter")
    owner.press(".hold .second")
    phone.wait_for("location.hash.startsWith('#/record/')")

    phone.restore()
    phone.sync()
    phone.wait_until_sent()
    kinds = [event["kind"] for event in read_log(server, phone)]
    record = phone.context.request.get(f"{server.address}/api/visits/{visit}/record").json()
    told = {fact["name"]: fact for fact in record["facts"]}
    assert kinds.count("fact-written") == len(questions) + len(numbers) + 1
    assert {"car-added", "odometer-read", "fact-withdrawn", "fact-given", "visit-closed"} <= set(kinds)
    source = {"kind": "makers-manual", "reference": "Owner’s book, p. 17"}
    assert (told["engine_oil_drain_plug_torque"]["source"], told["engine_oil_capacity"]["shown"]) == (
        source,
        "3.7 l",
    )


def withdraw(owner: Owner, name: str) -> None:
    owner.open(owner.car)
    owner.open_fact(name)
    owner.press(".fact-card .foot .row .second")
    owner.page.fill("#reason", "Of another engine")
    owner.press("dialog .action")
    owner.phone.wait_for(f"(id) => !({OWN})(id).facts.{name}", owner.car)


def walk(phone: Phone, visit: str, **until: str) -> None:
    """The fast way to a step: by what it asks for, without its screen."""
    phone.ask("location.hash = '#/cars'")
    phone.page.locator(".cars-page").wait_for()
    phone.ask(WALK, {"visit": visit, "until": until})
    phone.page.evaluate("(visit) => (location.hash = `#/work/${visit}`)", visit)


def test_an_electric_van_is_asked_what_it_has_and_nothing_of_an_engine(phone: Phone) -> None:
    owner = Owner(phone, "churn-van").add_car()

    asked = owner.answer_all()

    assert asked[:2] == ["powertrain", "driven_wheels"]
    assert not [name for name in asked if name.startswith(("engine_oil", "oil_filter", "transfer"))]
    demo = phone.ask("fillfirst.catalog.vehicles['churn-van'].facts")
    known = {name: fact["value"] for name, fact in owner.facts().items() if name in demo}
    assert known == {name: demo[name]["value"] for name in known}
    services = phone.page.locator("input[name=wanted]").evaluate_all(
        "(boxes) => boxes.map((box) => box.value)"
    )
    assert "reduction-gear" in services
    assert "engine-oil" not in services


def test_a_number_out_of_range_is_refused_with_the_range_in_the_unit_being_typed(phone: Phone) -> None:
    owner = Owner(phone, "pippin-hatch").open(phone.ask(COPY, {"like": "pippin-hatch", "isOwn": True}))
    correct(owner, "wheel_torque")

    phone.page.fill("#quantity", "900 lb-ft")

    said = phone.page.locator(".quantity").inner_text().replace("\u00a0", " ")
    assert "900 lbf·ft cannot be." in said
    assert "Between 36.9 lbf·ft and 184.4 lbf·ft" in said
    assert phone.page.locator(".keep").get_attribute("aria-disabled") == "true"


def correct(owner: Owner, name: str) -> None:
    """Open the sheet that corrects a number which is known."""
    showing = f"[data-fact={name}]"
    if owner.page.locator(showing).count() == 0:
        owner.choose("engine-oil")
    owner.open_fact(name)
    owner.press(".fact-card .foot .action")
    owner.page.locator("#quantity").wait_for()


def test_an_odd_number_is_asked_about_and_a_corrected_one_keeps_its_past(phone: Phone) -> None:
    owner = Owner(phone, "pippin-hatch").open(phone.ask(COPY, {"like": "pippin-hatch", "isOwn": True}))
    correct(owner, "engine_oil_drain_plug_torque")
    owner.type("95 Nm")
    owner.name_source("17")
    owner.press(SAVE)
    assert "Say why" in phone.page.locator(".source ~ .field").first.inner_text()
    phone.page.fill("#fact-reason", "Typed wrongly")
    owner.press(SAVE)
    phone.page.locator(".doubt").wait_for()
    assert "most cars are from 15 N·m to 55 N·m" in phone.page.locator(".doubt").inner_text().replace(
        "\u00a0", " "
    )
    owner.press(SAVE)
    assert len(owner.history("engine_oil_drain_plug_torque")) == 1
    phone.page.fill("#fact-reason", "A steel pan of an older kind")
    owner.press(SAVE)
    phone.page.locator(".fact-sheet").wait_for(state="detached")

    fact = owner.facts()["engine_oil_drain_plug_torque"]
    assert (fact["value"], fact["because"], fact["doubt"]) == (
        95,
        "Typed wrongly",
        "A steel pan of an older kind",
    )
    owner.open_fact("engine_oil_drain_plug_torque")
    past = phone.page.locator(".fact-history").inner_text().replace("\u00a0", " ")
    assert "from 31 N·m to 95 N·m" in past
    assert "written: 31 N·m" in past
    assert "Typed wrongly" in past
    assert phone.page.locator(".fact-history li").count() == 2


def test_a_sheet_with_errors_is_told_line_by_line_and_nothing_is_taken(phone: Phone) -> None:
    Owner(phone, "").go("#/car/new")
    before = phone.ask("fillfirst.cars().length")

    read_sheet(
        phone, 'title = "Tern"\nplate = "DEMO 9"\nspeed = 9\n[facts]\nwheel_torque = { value = "120 N*m" }\n'
    )

    lines = phone.page.locator(".sheet-errors li").all_inner_texts()
    assert [line.splitlines()[0] for line in lines] == ["Line 3", "Line 5"]
    assert "no source" in lines[1]
    assert phone.ask("fillfirst.cars().length") == before


def read_sheet(phone: Phone, text: str) -> None:
    file = {"name": "car.toml", "mimeType": "application/toml", "buffer": text.encode()}
    phone.page.locator(".sheet-reader input").last.set_input_files([file])
    phone.page.locator("dialog").wait_for()


def test_a_shared_sheet_is_looked_up_number_by_number(phone: Phone) -> None:
    text = phone.ask(EXPORT, "pippin-hatch")
    owner = Owner(phone, "pippin-hatch")
    owner.go("#/car/new")
    read_sheet(phone, text)
    owner.press("dialog .action")
    phone.page.locator(".imported").wait_for()
    owner.car = str(phone.ask("location.hash.split('/')[2]"))
    count = len(tomllib.loads(text)["facts"])
    assert phone.page.locator(".imported h2").inner_text() == f"{count} numbers came with a sheet"

    owner.press(".imported .second")
    owner.press(".fact-card .foot > .fact-foot .action, .fact-card .foot > .action")
    phone.wait_for(
        "(count) => document.querySelector('.imported h2').textContent.startsWith(`${count - 1} `)", count
    )

    confirmed = [name for name, fact in owner.facts().items() if fact["confirmed"]]
    assert len(confirmed) == 1
    assert [change["kind"] for change in owner.history(confirmed[0])] == ["written", "confirmed"]
    kept = tomllib.loads(phone.ask(EXPORT, owner.car))["facts"]
    assert {name: fact["value"] for name, fact in kept.items()} == {
        name: fact["value"] for name, fact in tomllib.loads(text)["facts"].items()
    }


def test_a_number_that_two_phones_wrote_differently_is_settled_on_the_card(
    phone: Phone, workshop: Server, chromium: Browser
) -> None:
    owner = Owner(phone, "pippin-hatch").open(phone.ask(COPY, {"like": "pippin-hatch", "isOwn": True}))
    phone.sync()
    phone.wait_until_sent()
    other = make_phone(chromium, workshop)
    other.sync()
    write = """
    async ([id, value]) => {
      const source = { kind: "label", reference: "door" };
      const garage = await fillfirst.loadGarage();
      const draft = { fact: "wheel_torque", value, unit: "N*m", source, because: "Looked", by: "Ben" };
      await garage.writeFact(id, draft);
    }
    """
    for one, value in ((phone, 112), (other, 118)):
        one.cut()
        one.ask(write, [owner.car, value])
    for one in (phone, other, phone):
        one.restore()
        one.sync()
        one.wait_until_sent()

    phone.page.locator(".dispute").wait_for()
    choices = phone.page.locator(".dispute-choice").all_inner_texts()
    assert len(choices) == 2
    phone.page.locator(".dispute-choice", has_text="118").dispatch_event("click")
    phone.page.locator(".dispute").wait_for(state="detached")

    assert owner.facts()["wheel_torque"]["value"] == 118
    other.context.close()


def test_a_bad_vin_stops_the_car_and_an_unusual_one_is_only_remarked_on(phone: Phone) -> None:
    owner = Owner(phone, "pippin-hatch")
    owner.go("#/car/new")
    page = phone.page
    page.fill("#car-title", "Tern")
    page.fill("#car-plate", "DEMO 9")
    said = page.locator("#car-vin-said")

    page.fill("#car-vin", "1M8GDM9AXKP04278Q")
    owner.press(NEXT)
    assert "I, O and Q are never used" in said.inner_text()
    page.fill("#car-vin", "1M8GDM9A1KP042788")
    page.locator("input[name=market][value='north-america']").dispatch_event("click")
    owner.press(NEXT)
    assert "by the others it would be X" in said.inner_text()
    assert phone.ask("location.hash") == "#/car/new"
    page.locator("input[name=market][value=elsewhere]").dispatch_event("click")
    owner.press(NEXT)

    phone.wait_for("/^#.car.[0-9a-f-]{36}$/.test(location.hash)")


def test_every_number_follows_the_wish_for_units(phone: Phone) -> None:
    owner = Owner(phone, "pippin-hatch")
    owner.go("#/phone")
    page = phone.page
    page.locator("input[name=units][value=us]").dispatch_event("click")
    try:
        owner.open(phone.ask(COPY, {"like": "pippin-hatch", "isOwn": True}))
        owner.choose("engine-oil")
        row = "[data-fact=engine_oil_capacity] b"
        shown = page.locator(row).text_content() or ""
        owner.open_fact("engine_oil_capacity")
        card = page.locator(".fact-card").inner_text().replace("\u00a0", " ")
        phone.reload()
        again = page.locator(row)
        again.wait_for(state="attached")
        kept = again.text_content() or ""
    finally:
        phone.ask("fillfirst.prefer({ units: 'source' })")

    assert shown == kept == "3.91\u00a0US qt"
    assert "3.7 l" in card


def test_the_form_is_calm_at_every_size(phone: Phone) -> None:
    owner = Owner(phone, "pippin-hatch").open(phone.ask(COPY, {"like": "pippin-hatch", "isOwn": False}))
    owner.choose("engine-oil", "brake-fluid")
    phone.ask("document.querySelectorAll('details').forEach((one) => (one.open = true))")
    wide: list[str] = []
    for width, height in ((320, 700), (844, 390), (1280, 800), (390, 844)):
        phone.page.set_viewport_size({"width": width, "height": height})
        wide += [f"{width}: {what}" for what in ask_look(phone, "tooWide")]

    assert wide == []
    assert ask_look(phone, "tooSmall") == []
