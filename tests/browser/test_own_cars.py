"""A car of one's own, typed in without a network, visited, synced, and passed on as a sheet."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from typing import Any

import pytest
from phones import Phone, Server, read_log
from playwright.sync_api import expect

# Types in a whole demo car, but for one number, as an owner of it would.
TYPE_IN = """
async ({ like, without }) => {
  const garage = await fillfirst.loadGarage();
  const id = await garage.addCar({ title: "Our own", plate: "DEMO 77", by: "Ida" });
  const judged = [];
  const known = Object.entries(fillfirst.catalog.vehicles[like].facts).filter(([fact]) => fact !== without);
  for (const [fact, { value, shown, unit, source }] of known) {
    const typed = shown === null ? {} : { typed: shown.split(" ")[0], unit };
    const draft = { fact, value, ...typed, source, doubt: "so it says" };
    judged.push((await garage.writeFact(id, draft)).judgement.verdict);
  }
  return { id, judged };
}
"""

OPEN = """
(carId) => {
  const jobs = Object.entries(fillfirst.catalog.jobs).filter(([, job]) => !job.shared).map(([id]) => id);
  return fillfirst.openVisit({ carId, jobs, settings: {}, odometer_m: 84210000, by: "Ida" });
}
"""

FINISH = """
async (visit) => {
  const main = document.querySelector("script[type=module][src]").src;
  const { missingFor } = await import(new URL("core/needs.js", main).href);
  const asked = [];
  for (;;) {
    const open = fillfirst.visit(visit);
    const next = open.visit.next;
    if (next === null) return asked;
    const instance = open.composition.steps.find((one) => one.id === next);
    for (const fact of missingFor(open.catalog, open.composition, instance)) {
      if (open.catalog.facts[fact].of === "visit") continue;
      asked.push(fact);
      const garage = await fillfirst.loadGarage();
      const source = { kind: "label", reference: "door" };
      const draft = { fact, value: 120, typed: "120", unit: "N*m", source, by: "Ida" };
      await garage.giveFact(visit, { ...draft, step: next });
    }
    await fillfirst.record(visit, "step-done", { step: next });
  }
}
"""

WRITE = """
async ({ id, ...draft }) => {
  const { judgement, event } = await (await fillfirst.loadGarage()).writeFact(id, draft);
  const codes = judgement.remarks.map(({ code }) => code);
  return { verdict: judgement.verdict, codes, isKept: event !== null };
}
"""

FACTS = "(id) => fillfirst.loadGarage().then(() => fillfirst.cars().find((car) => car.id === id)?.facts)"


@pytest.fixture
def other(phone: Phone, server: Server, phones: Callable[..., Phone]) -> Phone:
    """A second phone, let in by a second code."""
    return phones(server).let_in(server.invite())


def add_car(phone: Phone) -> str:
    id: str = phone.page.evaluate(
        "async () => (await fillfirst.loadGarage()).addCar({ title: 'Tern', plate: 'DEMO 9' })"
    )
    return id


def write(phone: Phone, id: str, **draft: Any) -> Any:
    return phone.page.evaluate(WRITE, {"id": id, **draft})


TORQUE = {"fact": "wheel_torque", "value": 120, "typed": "120", "unit": "N*m"}
SOURCE = {"kind": "label", "reference": "door"}


def test_a_car_typed_in_offline_is_visited_offline_and_synced(phone: Phone, server: Server) -> None:
    phone.cut()
    car = phone.page.evaluate(TYPE_IN, {"like": "pippin-hatch", "without": "wheel_torque"})
    assert "refused" not in car["judged"]

    visit = phone.page.evaluate(OPEN, car["id"])
    asked = phone.page.evaluate(FINISH, visit)

    assert asked == ["wheel_torque"]
    assert phone.page.evaluate(FACTS, car["id"])["wheel_torque"]["shown"] == "120 N*m"
    given = phone.page.evaluate("(visit) => fillfirst.visit(visit).carFacts.wheel_torque", visit)
    assert given["source"] == SOURCE
    phone.page.evaluate("(v) => fillfirst.record(v, 'visit-closed', { figures: {}, by: 'Ida' })", visit)
    phone.restore()
    phone.sync()
    phone.wait_until_sent()
    kinds = [event["kind"] for event in read_log(server, phone)]
    assert {"car-added", "fact-written", "fact-given", "visit-closed"} <= set(kinds)
    record = phone.context.request.get(f"{server.address}/api/visits/{visit}/record").json()
    told = next(fact for fact in record["facts"] if fact["name"] == "wheel_torque")
    assert (told["shown"], told["source"]) == ("120 N*m", SOURCE)
    assert phone.page.evaluate("fillfirst.me.openVisits") == []


def test_no_visit_begins_before_what_decides_its_steps_is_known(phone: Phone) -> None:
    car = phone.page.evaluate(TYPE_IN, {"like": "pippin-hatch", "without": "powertrain"})["id"]
    phone.ask("(id) => (location.hash = `#/plan/${id}`)", car)
    start = phone.page.locator(".plan > footer .action")

    phone.page.locator("[data-service=brake-fluid] .choice").click()
    phone.page.locator(".plan .summary", has_text="Say first: What drives it").wait_for()
    expect(start).to_have_text("Say what this car is")
    phone.press(".plan > footer .action")
    phone.page.locator(".car-page").wait_for()
    write(phone, car, fact="powertrain", value="combustion", source=SOURCE)
    phone.ask("(id) => (location.hash = `#/plan/${id}`)", car)
    phone.page.locator(".plan .summary", has_text="steps").wait_for()
    phone.page.fill("#odometer", "84210")
    phone.press(".plan > footer .action")

    phone.wait_for("location.hash.startsWith('#/work/')")
    composed = "() => fillfirst.visit(location.hash.split('/')[2]).composition.steps.map(({ step }) => step)"
    assert "brake-fluid/pedal-with-engine" in phone.ask(composed)


def test_what_is_refused_or_odd_without_an_answer_is_not_recorded(phone: Phone) -> None:
    car = add_car(phone)

    no_source = write(phone, car, **TORQUE)
    impossible = write(phone, car, **{**TORQUE, "value": 9000}, source=SOURCE)
    high = 0.999 * phone.page.evaluate("fillfirst.catalog.facts.wheel_torque.to")
    odd = write(phone, car, **{**TORQUE, "value": high}, source=SOURCE)
    answered = write(phone, car, **{**TORQUE, "value": high}, source=SOURCE, doubt="A lorry")

    assert no_source == {"verdict": "refused", "codes": ["no-source"], "isKept": False}
    assert impossible == {"verdict": "refused", "codes": ["out-of-range"], "isKept": False}
    assert odd == {"verdict": "odd", "codes": ["unusual"], "isKept": False}
    assert answered["isKept"] is True


def test_a_car_is_there_after_a_reload_and_counts_as_no_visit(phone: Phone) -> None:
    car = add_car(phone)
    write(phone, car, **TORQUE, source=SOURCE)

    phone.reload()

    assert phone.page.evaluate(FACTS, car)["wheel_torque"]["value"] == 120
    assert phone.page.evaluate("fillfirst.me.openVisits") == []
    assert phone.page.evaluate("fillfirst.visits()") == []


def test_a_sheet_goes_out_and_comes_in_on_another_phone_unconfirmed(phone: Phone, other: Phone) -> None:
    car = add_car(phone)
    write(phone, car, **TORQUE, source=SOURCE)
    text = phone.page.evaluate("async (id) => (await fillfirst.loadGarage()).exportSheet(id).text()", car)
    assert tomllib.loads(text)["facts"]["wheel_torque"]["source"] == SOURCE

    other.cut()
    brought = other.page.evaluate(
        "async (text) => (await fillfirst.loadGarage()).importSheet(text, { asNew: true })", text
    )

    assert brought["errors"] == []
    fact = other.page.evaluate(FACTS, brought["id"])["wheel_torque"]
    assert (fact["value"], fact["source"], fact["confirmed"]) == (120, SOURCE, False)
    event = other.page.evaluate(
        "(id) => fillfirst.cars().find((car) => car.id === id).own.facts.wheel_torque.event", brought["id"]
    )
    other.page.evaluate(
        "async ([id, event]) => (await fillfirst.loadGarage()).confirmFact(id, 'wheel_torque', event, 'Ben')",
        [brought["id"], event],
    )
    assert "confirmed" not in other.page.evaluate(FACTS, brought["id"])["wheel_torque"]


def test_two_phones_that_wrote_one_number_unseen_leave_it_open(phone: Phone, other: Phone) -> None:
    car = add_car(phone)
    phone.sync()
    phone.wait_until_sent()
    other.sync()
    other.page.evaluate("fillfirst.loadGarage()")
    other.wait_for("fillfirst.cars()[0].own !== null")
    phone.cut()
    other.cut()
    write(phone, car, **TORQUE, source=SOURCE)
    write(other, car, **{**TORQUE, "value": 130, "typed": "130"}, source=SOURCE)

    phone.restore()
    phone.sync()
    phone.wait_until_sent()
    other.restore()
    other.sync()

    other.wait_for("fillfirst.cars()[0].own.disputed_facts.length === 1")
    assert "wheel_torque" not in other.page.evaluate(FACTS, car)
