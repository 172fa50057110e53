"""Under the car for hours: awake, heard, spoken, mirrored, tapped anywhere, laid on the car as a level."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from phones import TOP, Phone
from screen_visits import COUNT_NOTES, LOCKED_FOR, Visit, ask_look, start_afresh

GEAR = ["transfer-case"]
GEARBOX = ["automatic-gearbox", "engine-oil"]

# Every lock that the page is given, so that a test can take it away as a phone does; and one that refuses.
KEEP_LOCKS = """
() => {
  globalThis.locks = [];
  const request = navigator.wakeLock.request.bind(navigator.wakeLock);
  navigator.wakeLock.request = async (kind) => {
    if (globalThis.refuse) throw new DOMException("made to fail by a test", "NotAllowedError");
    const lock = await request(kind);
    locks.push(lock);
    return lock;
  };
}
"""
# A phone with one voice, whose words are written down instead.
GIVE_VOICE = """
(isLocal) => {
  globalThis.said = [];
  const voice = { localService: isLocal, lang: "en-GB", default: true };
  const [speak, cancel] = [({ text }) => said.push(text), () => (said.length = 0)];
  const synthesis = { getVoices: () => [voice], speak, cancel, addEventListener() {} };
  Object.defineProperty(globalThis, "speechSynthesis", { value: synthesis, configurable: true });
  globalThis.SpeechSynthesisUtterance = class {
    constructor(text) { this.text = text; }
  };
}
"""
SKIP = "([id, skipped]) => fillfirst.record(id, 'step-skipped', skipped).then(() => true)"
LOOK = "document.dispatchEvent(new Event('visibilitychange'))"
LEFT_MS = """
(visit) => {
  const { timers, next } = fillfirst.visit(visit).visit;
  return timers[next].started_ms + 1000 * timers[next].least_s - Date.now();
}
"""


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.ask("localStorage.clear()")
    kept_phone.check()


def test_the_screen_stays_on_and_says_so_when_it_does_not(phone: Phone) -> None:
    phone.ask(KEEP_LOCKS)
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")
    visit.page.locator(".awake-mark[data-state=on]").wait_for()

    phone.ask("globalThis.refuse = true; Promise.all(locks.map((lock) => lock.release())).then(() => true)")
    visit.page.locator(".awake-mark[data-state=refused]").wait_for()
    said = visit.page.locator(".where-one-is").inner_text()
    phone.ask("globalThis.refuse = false")
    phone.ask(LOOK)

    assert "screen may go dark" in said
    visit.page.locator(".awake-mark[data-state=on]").wait_for()
    assert "screen may go dark" not in visit.page.locator(".where-one-is").inner_text()


def test_the_screen_may_go_dark_once_nobody_works(phone: Phone) -> None:
    phone.ask(KEEP_LOCKS)
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")
    visit.page.locator(".awake-mark[data-state=on]").wait_for()

    visit.go("#/cars")

    phone.wait_for("locks.every((lock) => lock.released)")


def begin_draining(phone: Phone) -> Visit:
    phone.ask(COUNT_NOTES)
    visit = Visit(phone, GEAR).walk(id="transfer-case/drain")
    visit.press(".kind-foot .action")
    visit.page.locator(".action[aria-disabled=true]").wait_for()
    return visit


def test_the_tap_that_starts_a_timer_lets_its_end_be_heard(phone: Phone) -> None:
    visit = begin_draining(phone)
    visit.page.locator(".heard", has_text="A tone sounds at the end").wait_for()
    visit.go(f"#/open/{visit.id}")

    phone.ask(LOCKED_FOR, phone.ask(LEFT_MS, visit.id) + 1000)
    phone.ask(LOOK)

    phone.wait_for("notes > 0")


def test_a_timer_that_ended_long_ago_keeps_quiet_and_says_how_long(phone: Phone) -> None:
    visit = begin_draining(phone)

    phone.ask(LOCKED_FOR, phone.ask(LEFT_MS, visit.id) + 6 * 60_000 + 1000)
    phone.ask(LOOK)
    visit.page.locator(".timer[data-over]").wait_for()

    assert visit.read(".timer .under") == "ended 6 min ago"
    assert phone.ask("notes") == 0


def test_a_timer_makes_no_sound_where_none_is_wished(phone: Phone) -> None:
    phone.ask("fillfirst.prefer({ sound: false })")
    visit = begin_draining(phone)
    phone.ask(LOCKED_FOR, phone.ask(LEFT_MS, visit.id) + 1000)
    phone.ask(LOOK)
    visit.page.locator(".timer[data-over]").wait_for()

    assert phone.ask("notes") == 0


def test_a_step_is_read_with_its_number_in_words_and_its_cautions(phone: Phone) -> None:
    phone.ask(GIVE_VOICE, True)
    visit = Visit(phone, GEAR).walk(id="transfer-case/tighten-drain-plug")

    visit.press(".read-aloud")
    said = " ".join(phone.ask("said"))

    heading = visit.page.locator("h1").inner_text()
    assert heading in said
    assert "36 newton metres" in said
    assert said.index(heading) < said.index("36 newton metres")
    assert visit.page.locator(".caution b").count() == said.count("Beware.")


def test_a_phone_whose_voices_need_a_network_does_not_offer_to_read(phone: Phone) -> None:
    phone.ask(GIVE_VOICE, False)
    visit = Visit(phone, GEAR).walk(id="transfer-case/tighten-drain-plug")

    visit.page.locator(".step-card .hero").wait_for()

    assert visit.page.locator(".read-aloud").is_hidden()


def test_steps_and_positions_are_spoken_as_they_come_where_it_is_wished(phone: Phone) -> None:
    phone.ask(GIVE_VOICE, True)
    phone.ask("fillfirst.prefer({ readAloud: true })")
    visit = Visit(phone, GEARBOX).walk(kind="cycle")
    first = visit.page.locator(".cycle .position").inner_text().lower()

    visit.press(".kind-foot .action")
    phone.wait_for("said.length === 1")
    held = phone.ask("said[0]").lower()
    phone.ask(LOCKED_FOR, 60_000)
    phone.wait_for("said[0].startsWith('Next: ')")

    assert held.startswith(f"{first}. hold for ")


def test_a_tap_on_an_empty_place_ticks_the_step_where_it_is_wished(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")
    spot = {"x": 5, "y": 40}
    visit.page.locator(".step-card .says").click(position=spot)
    phone.ask("fillfirst.prefer({ tapAnywhere: true })")
    before = visit.next

    visit.page.locator(".step-card .says").click(position=spot)
    visit.wait_until_next_is_not("transfer-case/loosen-fill-plug")

    assert before == "transfer-case/loosen-fill-plug"
    assert visit.page.locator(".undo-bar").is_visible()


def test_a_stop_is_not_passed_by_a_tap_on_an_empty_place(phone: Phone) -> None:
    phone.ask("fillfirst.prefer({ tapAnywhere: true })")
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")
    phone.ask(SKIP, [visit.id, {"step": "transfer-case/loosen-fill-plug", "reason": "Later"}])
    visit.page.locator(".stop-card").wait_for()
    phone.settle()

    visit.page.locator(".stop-card h1").click()

    assert visit.page.locator(".stop-card").count() == 1
    assert visit.next == "transfer-case/take-out-fill-plug"


def test_the_left_hand_finds_everything_mirrored(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")
    right = places(visit)

    phone.ask("fillfirst.prefer({ hand: 'left' })")
    left = places(visit)

    assert right["Back one"] < right["Can’t do it"]
    assert left["Can’t do it"] < left["Back one"]
    assert right["pill"] > 195 > left["pill"]


def places(visit: Visit) -> dict[str, float]:
    """Where the middle of each control is, from the left edge."""
    find = """
    () => {
      const controls = [...document.querySelectorAll(".frame > footer > .row button, .open-pill")];
      return Object.fromEntries(controls.map((one) => {
        const { left, width } = one.getBoundingClientRect();
        return [one.matches(".open-pill") ? "pill" : one.innerText.replace(/\\s/g, " "), left + width / 2];
      }));
    }
    """
    return dict(visit.phone.ask(find))


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_action_is_20_mm_high_on_every_phone_however_it_is_held(phone: Phone, hand: str) -> None:
    phone.ask("(hand) => fillfirst.prefer({ hand })", hand)
    visit = Visit(phone, GEAR).walk(id="transfer-case/tighten-drain-plug")

    found = [look_at_action(visit, size) for size in [(360, 640), (844, 390), (390, 844)]]

    # 1 mm is about 6.3 CSS pixels on phones.
    assert min(height for height, _, _ in found) >= 120
    assert all(is_in_sight for _, is_in_sight, _ in found)
    assert [wrong for _, _, wrong in found] == [[], [], []]


def look_at_action(visit: Visit, size: tuple[int, int]) -> tuple[float, bool, list[str]]:
    """Its height, whether all of it is in sight, and what else is too small or too wide."""
    visit.page.set_viewport_size({"width": size[0], "height": size[1]})
    visit.page.wait_for_timeout(100)
    box = visit.page.locator(".kind-foot .action").bounding_box()
    assert box
    wrong = ask_look(visit.phone, "tooSmall") + ask_look(visit.phone, "tooWide")
    return box["height"], box["y"] + box["height"] <= size[1], wrong


def test_no_way_of_holding_the_phone_is_locked() -> None:
    manifest = json.loads((TOP / "webui" / "manifest.webmanifest").read_text())

    assert manifest.get("orientation", "any") == "any"


@pytest.mark.parametrize(
    ("beta", "gamma", "lengthwise", "crosswise"),
    [(0, 0, 0, 0), (2, 0, 2, 0), (0, 3, 0, -3), (-1.5, -0.5, -1.5, 0.5)],
)
def test_tilt_is_the_incline_of_the_edges(
    phone: Phone, beta: float, gamma: float, lengthwise: float, crosswise: float
) -> None:
    ask = """
    async ([beta, gamma]) => {
      const { src } = document.querySelector("script[type=module]");
      const { tiltOf, upOf } = await import(new URL("./core/tilt.js", src).href);
      const { lengthwise, crosswise } = tiltOf(upOf(beta, gamma));
      return [lengthwise, crosswise].map((angle) => (angle * 180) / Math.PI);
    }
    """
    found = phone.ask(ask, [beta, gamma])

    assert found == pytest.approx([lengthwise, crosswise], abs=0.02)


def test_the_phone_laid_on_the_car_gives_both_readings_against_its_zero(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="preparation/check-level")
    session = phone.context.new_cdp_session(visit.page)

    def lean(beta: float, gamma: float) -> None:
        session.send(
            "DeviceOrientation.setDeviceOrientationOverride", {"alpha": 0, "beta": beta, "gamma": gamma}
        )

    visit.press(".panel .second")
    keep = visit.page.locator(".kind-foot .action")
    keep.wait_for()
    lean(0.5, 0.3)
    visit.page.locator(".level-tilt", has_text="0.5°").wait_for()
    visit.page.get_by_role("button", name="Here is level").click()
    # A phone at rest tells its tilt again and again; the mean of half a second counts.
    for beta in [1.4, 1.41] * 250:
        lean(beta, -0.2)
        visit.page.wait_for_timeout(20)
        still = keep.get_attribute("aria-disabled") == "false"
        if still and keep.inner_text().replace("\n", " ") == "Keep 0.9° and 0.5°":
            break
    keep.click()
    phone.wait_for("(id) => fillfirst.visit(id).visit.readings.tilt_crosswise?.length === 1", visit.id)
    session.detach()

    (lengthwise,), (crosswise,) = visit.readings("tilt_lengthwise"), visit.readings("tilt_crosswise")
    assert (lengthwise["typed"], crosswise["typed"]) == ("0.9", "0.5")
    assert lengthwise["value"] == pytest.approx(0.9 * 3.14159265 / 180, rel=1e-6)


def test_a_phone_without_a_sensor_leads_back_to_the_keys(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="preparation/check-level")

    visit.press(".panel .second")
    visit.page.get_by_text("This phone tells no tilt").wait_for()
    visit.page.get_by_role("button", name="Back to the step").click()

    visit.page.locator(".reading-line").first.wait_for()
