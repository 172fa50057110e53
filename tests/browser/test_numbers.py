"""Numbers where they are needed: each opens to what it rests on, and what cannot be told is a sentence."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from phones import Phone
from screen_visits import Visit, start_afresh

JOBS = ["automatic-gearbox", "coolant-main"]

# The order that the sheet proposes for a round cover of eight, as it hands it to the form.
ORDER_OF_EIGHT = """
async () => {
  const main = document.querySelector("script[type=module]").src;
  const { openScrewOrder } = await import(new URL("./parts/numbers/screw-order.js", main).href);
  const taken = new Promise((resolve) => openScrewOrder(fillfirst.catalog, { onTake: resolve }));
  document.querySelector("dialog [value=round]").click();
  document.querySelector("dialog .foot .action").click();
  return taken;
}
"""

LEVEL_ERROR = """
async ([plug, lean]) => {
  const main = document.querySelector("script[type=module]").src;
  const { levelError } = await import(new URL("./parts/numbers/level-tilt.js", main).href);
  return levelError(fillfirst.catalog, plug, lean).text.replaceAll("\\u00a0", " ");
}
"""


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.check()


@pytest.fixture
def at_old_coolant(phone: Phone) -> Visit:
    visit = Visit(phone, JOBS).walk(id="coolant-main/old-freezing")
    visit.press(".aids .plain")
    visit.page.locator("dialog .formula-form").first.wait_for()
    return visit


def test_strength_read_in_brix_is_kept_as_the_freezing_point_it_stands_for(at_old_coolant: Visit) -> None:
    visit = at_old_coolant

    # 32.6 degrees Brix at 20 °C are 50 percent: CRC Handbook of Chemistry and Physics, 1,2-ethanediol.
    visit.page.locator("dialog input").first.fill("32.6")
    strength = visit.read("dialog .number-line")
    visit.press("dialog .foot .action")
    visit.phone.wait_for(
        "(id) => fillfirst.visit(id).visit.readings.coolant_main_old_freezing?.length", visit.id
    )

    assert "50 %" in strength
    assert visit.readings("coolant_main_old_freezing")[0]["typed"].startswith("−3")


def test_reading_no_instrument_gives_leaves_a_sentence_and_nothing_to_keep(at_old_coolant: Visit) -> None:
    visit = at_old_coolant

    visit.page.locator("dialog input").first.fill("95")
    visit.page.locator("dialog input").first.press("Tab")

    assert visit.read("dialog .field .said") == "Between 0 and 40"
    assert visit.page.locator("dialog .number-line").count() == 0
    assert visit.page.locator("dialog .foot .action").is_hidden()


def test_vacuum_is_drawn_against_what_must_stand_and_what_there_can_be(phone: Phone) -> None:
    visit = Visit(phone, JOBS).walk(id="coolant-main/vacuum-stood")

    drawn = visit.page.locator(".vacuum").get_attribute("aria-label") or ""

    assert "must stand at" in drawn
    assert "no deeper than 29.9" in drawn.replace("\u00a0", " ")
    assert visit.page.locator(".vacuum .band").count() == 1


def test_the_drawing_of_a_vacuum_says_the_number_beside_it(phone: Phone) -> None:
    visit = Visit(phone, JOBS, site_altitude=410).walk(id="coolant-main/pull-vacuum")

    visit.page.locator(".vacuum").wait_for()
    drawn = (visit.page.locator(".vacuum").get_attribute("aria-label") or "").replace("\u00a0", " ")
    digits, unit = visit.read(".hero .digits"), visit.read(".hero small")

    assert drawn.startswith(f"pull to {digits} {unit}. ")


def test_screws_gone_round_twice_say_which_pass_it_is(phone: Phone) -> None:
    visit = Visit(phone, JOBS).walk(id="automatic-gearbox/second-pass", index=1)

    assert "pass 2 of 2: 1 of 10 done" in (visit.page.locator(".pattern").get_attribute("aria-label") or "")


def test_cards_of_a_plan_open_to_formula_source_and_example(phone: Phone) -> None:
    visit = Visit(phone, JOBS)
    visit.go("#/plan/fellside-estate")
    visit.press("button.all")
    oils = visit.page.locator(".number-cards .fold", has_text="Oils")
    oils.locator("summary").first.click()
    oils.locator(".number-line").first.click()

    said = visit.read("dialog")

    assert "−30 °C" in said
    assert "J300" in said
    assert "Worked example" in said


WHOSE_WORD = """
async (id) => {
  const main = document.querySelector("script[type=module][src]").src;
  const { knowledgeOf, lookUp } = await import(new URL("parts/texts/known.js", main).href);
  return lookUp(knowledgeOf(fillfirst.visit(id)), "site_altitude").from;
}
"""


def test_how_it_is_done_today_is_told_apart_from_what_nobody_said(phone: Phone) -> None:
    said = Visit(phone, ["coolant-main"], site_altitude=300)
    unsaid = Visit(phone, ["coolant-main"])

    assert [phone.ask(WHOSE_WORD, visit.id) for visit in (said, unsaid)] == ["set for today", "assumed"]


def test_screws_of_a_round_cover_are_crossed_as_published(phone: Phone) -> None:
    # ASME PCC-1: the cross pattern of eight bolts.
    assert phone.ask(ORDER_OF_EIGHT) == ["1", "5", "3", "7", "2", "6", "4", "8"]


@pytest.mark.parametrize(
    ("lengthwise", "said"),
    [
        # By hand: 0.4 m × 0.3 m × 0.25 m × the tangent of 2 degrees.
        (-0.0349066, "At the plug: at most 1050 ml too little"),
        (0.0349066, "At the plug: at most 1050 ml too much"),
        (0.5, "This is too far over to say what the level would be wrong by."),
    ],
)
def test_lean_tells_what_the_level_is_wrong_by_at_most(phone: Phone, lengthwise: float, said: str) -> None:
    plug = {"length": 0.4, "width": 0.3, "ahead": 0.25, "right": 0}

    assert phone.ask(LEVEL_ERROR, [plug, {"lengthwise": lengthwise, "crosswise": 0}]) == said


GARAGE = """
async () => {
  const main = document.querySelector("script[type=module]").src;
  const load = (path) => import(new URL(path, main).href);
  const { inventory } = await fillfirst.loadGarage();
  const mark = (value, unit) => ({ value, typed: String(value), unit });
  const wrench = { least: mark(40, "N*m"), most: mark(200, "N*m"), reach: mark(0.47, "mm") };
  const kept = [
    await inventory.keepThing({ of: "torque-wrench", title: "the long one", marks: wrench }),
    await inventory.keepThing({ of: "can", marks: { holds: mark(0.02, "l") } }),
  ];
  const { openWrenchSheet } = await load("./parts/numbers/wrench-sheet.js");
  await openWrenchSheet(fillfirst, fillfirst.catalog, { value: 100, unit: "N*m", text: "100 N·m" });
  const grip = document.querySelectorAll("dialog .formula-form")[1].querySelector("input").value;
  const { makeWasteCard } = await load("./parts/numbers/cards/waste-card.js");
  const { compose } = await load("./core/compose.js");
  const car = fillfirst.cars().find(({ id }) => id === "fellside-estate");
  const facts = Object.fromEntries(Object.entries(car.facts).map(([name, { value }]) => [name, value]));
  const { catalog } = fillfirst;
  const composition = compose(catalog, ["engine-oil"], facts);
  const knowledge = { catalog, carFacts: car.facts, values: composition.facts };
  const [card] = makeWasteCard({ catalog, composition, knowledge, inventory: inventory.get(), ages: {} });
  const cans = card.nodes.map((node) => node.textContent).join(" ");
  for (const id of kept) await inventory.dropThing(id);
  return [grip, cans];
}
"""


def test_what_is_marked_on_a_wrench_and_a_can_of_the_garage_is_reckoned_with(phone: Phone) -> None:
    grip, cans = phone.page.evaluate(GARAGE)

    assert grip == "470"
    assert "20\u00a0l" in cans


# Another car like it, of this owner, whose brake fluid was renewed 400 days ago.
RENEWED_BEFORE = """
async () => {
  const garage = await fillfirst.loadGarage();
  const text = await garage.exportSheet("fellside-estate").text();
  const { id } = await garage.importSheet(text, { asNew: true, isOwn: true, by: "Ida" });
  const date = new Date(Date.now() - 400 * 86_400_000).toISOString().slice(0, 10);
  const source = { kind: "owner", reference: "bill" };
  await garage.note(id, "service-noted", { job: "brake-fluid", date, odometer_m: 60_000_000, source });
  return id;
}
"""


def test_a_plan_tells_how_old_the_brake_fluid_is(phone: Phone) -> None:
    car = phone.ask(RENEWED_BEFORE)
    phone.ask("(id) => (location.hash = `#/plan/${id}`)", car)
    phone.page.locator("button.all").dispatch_event("click")
    brakes = phone.page.locator(".number-cards .fold", has_text="Brake fluid")
    brakes.locator("summary").first.dispatch_event("click")

    line = brakes.locator(".number-line", has_text="Age of what is in")
    said = line.inner_text()
    line.dispatch_event("click")

    assert "within its time" in said
    assert "13\u00a0months" in (phone.page.locator("dialog").text_content() or "")
