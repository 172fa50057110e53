"""The look of every screen: sizes, room, contrast, enlarged text, and what the other screens tell."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from phones import Phone, Server
from playwright.sync_api import Browser, expect
from screen_visits import ESTATE, LOCKED_FOR, Visit, ask_look, make_phone, start_afresh

GEAR = ["transfer-case"]
#: A step of each kind, and the drawings, in the order of the day.
STEPS: list[dict[str, Any]] = [
    {"kind": "inspect"},
    {"id": "preparation/check-level"},
    {"id": "transfer-case/take-out-fill-plug"},
    {"id": "transfer-case/tighten-drain-plug"},
    {"id": "automatic-gearbox/first-pass", "index": 5},
    {"id": "brake-fluid/tighten-nipple", "index": 2},
    {"shows": "coolant_main_concentrate"},
    {"id": "coolant-main/vacuum-stood"},
    {"id": "engine-oil/let-it-drip"},
    {"kind": "cycle"},
    {"kind": "watch"},
    {"shows": "coolant_main_balance"},
    {},
]
JOBS = ["transfer-case", "engine-oil", "automatic-gearbox", "brake-fluid", "coolant-main"]


#: An own car that is like another, with one visit of it begun.
LONG_NAMES = """
async ([like, told]) => {
  const garage = await fillfirst.loadGarage();
  const carId = await garage.addCar(told);
  for (const [fact, { value, source }] of Object.entries(fillfirst.catalog.vehicles[like].facts)) {
    await garage.writeFact(carId, { fact, value, source, doubt: "so it says" });
  }
  const order = { carId, jobs: ["power-steering"], settings: {}, odometer_m: 84210000, by: told.by };
  return [carId, await fillfirst.openVisit(order)];
}
"""


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.check()


def test_targets_in_work_are_large_enough_for_gloves(phone: Phone) -> None:
    visit = Visit(phone, JOBS)
    small: list[str] = []
    heights: list[dict[str, float | None]] = []

    for step in STEPS:
        visit.walk(**step)
        small += ask_look(phone, "tooSmall")
        heights.append(ask_look(phone, "heights"))

    assert small == []
    assert min(height["action"] or 999 for height in heights) >= 120
    assert min(height["second"] or 999 for height in heights) >= 64


def test_text_in_work_stands_out_seven_to_one_in_both_lights(phone: Phone) -> None:
    visit = Visit(phone, JOBS)
    faint: list[str] = []

    for step in STEPS:
        visit.walk(**step)
        faint += look_in_both_lights(phone)
    visit.show("open")
    faint += look_in_both_lights(phone)

    assert faint == []


def look_in_both_lights(phone: Phone) -> list[str]:
    faint: list[str] = []
    for light in ("light", "dark"):
        phone.ask("(light) => { document.documentElement.dataset.theme = light; }", light)
        faint += ask_look(phone, "tooFaint", 7)
    return faint


def test_no_screen_is_wider_than_the_phone(phone: Phone) -> None:
    visit = Visit(phone, JOBS)
    wide: list[str] = []

    for step in STEPS:
        visit.walk(**step)
        wide += look_in_all_sizes(phone)
    for address in ("#/cars", f"#/plan/{ESTATE}", f"#/open/{visit.id}", f"#/record/{visit.id}"):
        visit.go(address)
        if "plan" in address:
            visit.press("button.all")
            phone.ask("() => document.querySelectorAll('details').forEach((one) => (one.open = true))")
        wide += look_in_all_sizes(phone)

    assert wide == []


def test_a_long_name_without_a_gap_makes_no_screen_wider(phone: Phone) -> None:
    visit = Visit(phone, ["power-steering"])
    car, of_it = phone.ask(
        LONG_NAMES, [ESTATE, {"title": "Estate" * 10, "plate": "DEMO" * 8, "by": "Ada" * 20}]
    )
    wide: list[str] = []

    for address in ("#/cars", f"#/car/{car}", f"#/plan/{car}", "#/due", f"#/work/{of_it}", f"#/open/{of_it}"):
        visit.go(address)
        wide += ask_look(phone, "tooWide")
    phone.ask("(id) => fillfirst.record(id, 'visit-closed', { figures: {}, by: 'Ada' }).then(() => 1)", of_it)
    for address in (f"#/record/{of_it}", "#/cars"):
        visit.go(address)
        wide += ask_look(phone, "tooWide")

    assert wide == []


def look_in_all_sizes(phone: Phone) -> list[str]:
    """On a phone, on one lying down, on the smallest, and on a desk."""
    wide: list[str] = []
    for width, height in ((844, 390), (320, 700), (1280, 800), (390, 844)):
        phone.page.set_viewport_size({"width": width, "height": height})
        phone.page.wait_for_timeout(60)
        wide += [f"{width}: {what}" for what in ask_look(phone, "tooWide")]
    return wide


def test_text_at_twice_its_size_needs_no_sideways_scroll(phone: Phone) -> None:
    session = phone.context.new_cdp_session(phone.page)
    session.send("Page.setFontSizes", {"fontSizes": {"standard": 32, "fixed": 26}})
    visit = Visit(phone, JOBS)
    wide: list[str] = []

    for step in STEPS:
        visit.walk(**step)
        wide += ask_look(phone, "tooWide")
    for address in ("#/cars", f"#/plan/{ESTATE}", f"#/open/{visit.id}", f"#/record/{visit.id}"):
        visit.go(address)
        if "plan" in address:
            visit.press("button.all")
        wide += ask_look(phone, "tooWide")
    session.send("Page.setFontSizes", {"fontSizes": {"standard": 16, "fixed": 13}})

    assert wide == []


def test_the_pill_and_the_list_count_the_same(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/tighten-drain-plug")
    pill = visit.page.locator(".open-pill").inner_text()

    visit.press(".open-pill")
    visit.page.locator(".open-list li").first.wait_for()

    rows = visit.page.locator(".open-list li")
    assert pill == f"{rows.count()} open"
    assert visit.page.locator(".car-plan .callout").count() == rows.count()
    assert "Drain plug, transfer case\nhand-tight since" in visit.read(".open-list")
    assert "36 N·m" in visit.read(".open-list")


def test_what_has_been_open_since_another_day_says_which(phone: Phone) -> None:
    visit = Visit(phone, ["transfer-case"]).walk(id="transfer-case/drain")
    phone.ask(LOCKED_FOR, 24 * 3_600_000)

    visit.go(f"#/open/{visit.id}")

    expect(phone.page.locator(".open-list .quiet").first).to_have_text(re.compile(r"since \w+ \d+, \d{4}, "))
    phone.reload()  # by which the clock is right again


def test_open_leads_back_to_the_step(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/tighten-drain-plug").show("open")

    visit.press(".frame footer .action")
    visit.page.locator(".step-card").wait_for()

    assert phone.ask("location.hash") == f"#/work/{visit.id}"


def test_two_phones_that_disagree_are_asked_about_until_one_confirms(
    phone: Phone, workshop: Server, chromium: Browser
) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/drain")
    phone.sync()
    other = make_phone(chromium, workshop)
    other.sync()
    other.ask("(id) => fillfirst.loadVisit(id).then(() => 1)", visit.id)
    say = "([id, payload]) => fillfirst.record(id, 'state-confirmed', payload).then(() => 1)"
    for one, value in ((phone, "open"), (other, "closed")):
        one.cut()
        one.ask(say, [visit.id, {"variable": "undertray", "value": value}])
    for one in (phone, other, phone):
        one.restore()
        one.sync()

    visit.show("open")
    visit.page.locator(".contradiction:not(.which-goes)").wait_for()
    assert "Undertray" in visit.page.locator(".contradiction:not(.which-goes)").inner_text()
    visit.page.locator(".contradiction button", has_text="closed").click()
    visit.page.locator(".contradiction:not(.which-goes)").wait_for(state="detached")

    assert phone.ask("(id) => fillfirst.visit(id).visit.variables.undertray", visit.id) == "closed"
    other.context.close()


def test_all_services_are_chosen_with_one_tap_and_the_day_adds_up(phone: Phone) -> None:
    visit = Visit(phone, GEAR)
    visit.go(f"#/plan/{ESTATE}")

    visit.press("button.all")

    boxes = visit.page.locator("input[name=service]")
    assert boxes.count() == visit.page.locator("input[name=service]:checked").count() == 8
    summary = visit.page.locator(".plan .summary").inner_text()
    day = visit.page.locator(".fold", has_text="Order of the day")
    gist = day.locator("summary .quiet").inner_text()
    day.locator("summary").click()
    told = day.locator(".day-total").inner_text()
    assert summary.startswith("8 services, ")
    assert gist in summary
    assert gist.replace(", ", " and ") in told


def test_the_buying_list_names_approval_grade_and_packs(phone: Phone) -> None:
    visit = Visit(phone, GEAR)
    visit.go(f"#/plan/{ESTATE}")
    visit.page.locator("input[name=service][value='engine-oil']").check()
    visit.page.locator(".fold", has_text="Buy").locator("summary").click()

    line = visit.read(".buy li")
    visit.page.locator(".buy li button").first.click()

    assert "must carry Overbeck EO-7 (demo) · 5W-30" in line
    assert "buy 1 × 5 l + 2 × 1 l" in line
    assert "capacity × (1 + reserve)" in visit.read("dialog")


def test_a_setting_out_of_range_is_refused_with_its_range(phone: Phone) -> None:
    visit = Visit(phone, GEAR)
    visit.go(f"#/plan/{ESTATE}")
    visit.press("button.all")
    visit.page.locator(".fold", has_text="How it is done today").locator("summary").click()

    field = visit.page.locator("#setting-site_altitude")
    field.fill("9000")
    field.press("Tab")

    assert "4500" in visit.read("#setting-site_altitude-said").replace(",", "")


def test_who_plans_a_car_whose_visit_is_going_on_is_led_back_to_that(phone: Phone) -> None:
    visit = Visit(phone, ["transfer-case"])
    visit.go(f"#/plan/{ESTATE}")
    visit.press(".plan .all")

    visit.press("button:text-is('Go on with it')")

    phone.page.wait_for_url(f"**/#/open/{visit.id}")


def test_a_visit_in_progress_comes_first_on_the_cars(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/drain")

    visit.go("#/cars")
    visit.page.locator(".going-card button", has_text="Go on: step").first.click()

    assert phone.ask("location.hash") == f"#/open/{visit.id}"


def test_a_closed_visit_says_whether_the_server_has_it(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk()
    phone.sync()
    phone.cut()

    visit.hold(".hold-button", 1100)
    phone.wait_for("location.hash.startsWith('#/record/')")
    here = visit.page.locator(".record-state").inner_text()
    phone.restore()
    phone.sync()
    visit.page.locator(".record-state[data-kept=server]").wait_for()

    assert here.startswith("On this phone only")
    assert visit.page.locator(".record-state").inner_text() == "On the server."


def test_on_paper_the_record_opens_every_list(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk().show("record")
    lists = visit.page.locator(".record details")

    phone.ask("dispatchEvent(new Event('beforeprint'))")
    opened = visit.page.locator(".record details[open]").count()
    phone.ask("dispatchEvent(new Event('afterprint'))")

    assert opened == lists.count() >= 3
    assert visit.page.locator(".record details[open]").count() < opened


def test_the_light_is_remembered(phone: Phone) -> None:
    phone.page.goto(f"{phone.server.address}/#/phone")

    phone.page.locator("input[name=light][value=dark]").check()
    phone.reload()

    assert phone.ask("document.documentElement.dataset.theme") == "dark"
    assert phone.ask("getComputedStyle(document.documentElement).backgroundColor") == "rgb(20, 19, 17)"


def test_less_motion_leaves_only_the_digits_of_a_timer(phone: Phone) -> None:
    phone.page.emulate_media(reduced_motion="reduce")
    visit = Visit(phone, GEAR).walk(id="transfer-case/drain")

    hidden, digits = (
        visit.page.locator(".timer svg").is_hidden(),
        visit.page.locator(".timer .digits").is_visible(),
    )
    phone.page.emulate_media(reduced_motion="no-preference")
    assert (hidden, digits) == (True, True)
