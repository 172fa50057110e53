"""Draws the steps of a visit, from the first one to its record: every kind, every instrument and answer."""

from __future__ import annotations

from gallery import WORK, Gallery
from screen_visits import Visit

END_TIMER = """
async ([visit, over_s]) => {
  const { visit: { timers, next } } = fillfirst.visit(visit);
  const { least_s } = timers[next];
  const started_ms = Date.now() - (least_s + over_s) * 1000;
  await fillfirst.record(visit, "timer-started", { step: next, started_ms, least_s, most_s: null });
}
"""

#: One stroke, in parts of the pad.
SIGNATURE = [(0.08, 0.55), (0.16, 0.2), (0.22, 0.7), (0.3, 0.2), (0.36, 0.65), (0.5, 0.5), (0.9, 0.4)]


def draw_preparation(gallery: Gallery) -> None:
    gallery.begin()
    gallery.draw("work-first", WORK)
    gallery.walk(id="preparation/odometer")
    gallery.draw("work-measure", WORK)
    gallery.enter("84.210")
    gallery.draw("work-number-either", WORK)
    gallery.walk(id="preparation/supplies-out")
    gallery.draw("work-inspect", WORK)
    gallery.press(".finding", 1)
    gallery.draw("work-finding-bad", WORK)
    gallery.press(".where-one-is")
    gallery.draw("work-day", WORK)
    gallery.close_sheet()
    gallery.walk(id="preparation/read-jack")
    gallery.keep("3000")
    gallery.draw("work-judged-yes", WORK)
    gallery.press(".reading-line")
    gallery.keep("600")
    gallery.draw("work-judged-no", WORK)
    gallery.walk(id="preparation/check-level")
    gallery.enter("1,2")
    gallery.draw("work-number", WORK)
    gallery.page.locator("#quantity").fill("49")
    gallery.draw("work-number-refused", WORK)
    gallery.page.locator("#quantity").fill("")
    gallery.keep("1,2")
    gallery.keep("-0.4")
    gallery.draw("work-judged-back", WORK)


def draw_under_the_car(gallery: Gallery) -> None:
    gallery.walk(id="transfer-case/loosen-fill-plug")
    gallery.draw("work-act", WORK)
    gallery.press(".kind-foot .action")
    gallery.draw("work-undo", WORK)
    gallery.press(".row .second", 2)
    gallery.draw("work-skip", WORK)
    gallery.page.locator("dialog textarea").fill("Head is rounded off")
    gallery.press("dialog .action")
    gallery.walk(id="transfer-case/take-out-drain-plug")
    gallery.draw("work-stop", WORK)
    gallery.press(".kind-foot .second")
    gallery.draw("work-override", WORK)
    gallery.close_sheet()
    gallery.press(".kind-foot .action")
    gallery.draw("work-cure", WORK)
    gallery.press(".kind-foot .action, .kind-foot .finding")
    gallery.walk(id="transfer-case/drain")
    gallery.draw("work-hold", WORK)
    gallery.press(".kind-foot .action")
    gallery.page.wait_for_timeout(1500)
    gallery.draw("work-hold-running", WORK)
    gallery.press(".meanwhile")
    gallery.page.locator(".wait-row").wait_for()
    gallery.draw("work-meanwhile", WORK)
    gallery.phone.ask(END_TIMER, [gallery.visit, 6 * 60])
    gallery.page.locator(".wait-row[data-over]").wait_for()
    gallery.draw("work-meanwhile-over", WORK)
    gallery.press(".wait-row")
    gallery.page.locator(".timer[data-over]").wait_for()
    gallery.draw("work-hold-over", WORK)
    gallery.walk(id="transfer-case/tighten-drain-plug")
    gallery.draw("work-tighten", WORK)
    gallery.page.evaluate("fillfirst.prefer({ hand: 'left' })")
    gallery.draw("work-left-hand", WORK)
    gallery.page.evaluate("fillfirst.prefer({ hand: 'right' })")
    gallery.press(".hero")
    gallery.draw("work-number-source", WORK)
    gallery.close_sheet()
    gallery.press(".open-pill")
    gallery.draw("open", WORK)


def draw_instruments(gallery: Gallery) -> None:
    gallery.walk(id="automatic-gearbox/first-pass", index=5)
    gallery.draw("work-screws", WORK)
    gallery.walk(id="brake-fluid/tighten-nipple", index=2)
    gallery.draw("work-nipple", WORK)
    gallery.walk(id="closing/wheel-on", index=2)
    gallery.draw("work-wheel", WORK)
    gallery.walk(shows="coolant_main_concentrate")
    gallery.draw("work-jug", WORK)
    gallery.press(".number-line")
    gallery.draw("work-formula", WORK)
    gallery.close_sheet()
    gallery.walk(id="coolant-main/vacuum-stood")
    gallery.keep("20")
    gallery.draw("work-vacuum", WORK)
    gallery.walk(kind="cycle")
    gallery.draw("work-cycle", WORK)
    gallery.press(".kind-foot .action")
    gallery.draw("work-cycle-held", WORK)
    gallery.walk(kind="watch")
    gallery.draw("work-watch", WORK)
    for name, reading in [("below", "24"), ("nearly", "31"), ("inside", "37"), ("above", "47")]:
        # Where a reading is in its window already, reading again is the second button.
        gallery.press(".kind-foot .second" if gallery.page.locator(".pair").count() else ".kind-foot .action")
        gallery.keep(reading)
        gallery.draw(f"work-watch-{name}", WORK)
    gallery.go(f"#/open/{gallery.visit}")
    gallery.draw("open-running", WORK)
    gallery.go("#/cars")
    gallery.draw("cars-going")
    draw_what_cools(gallery)
    gallery.walk(shows="coolant_main_balance")
    gallery.draw("work-balance", WORK)


def draw_what_cools(gallery: Gallery) -> None:
    """A wait that nobody starts, right after the engine was switched off."""
    gallery.walk(id="running/cold-again")
    gallery.page.locator(".meanwhile").wait_for()
    gallery.draw("work-cooling", WORK)
    gallery.press(".meanwhile")
    gallery.page.locator(".wait-row").wait_for()
    gallery.draw("work-cooling-meanwhile", WORK)
    gallery.press(".wait-row")
    gallery.keep("62")
    gallery.page.locator(".meanwhile").wait_for()
    gallery.draw("work-cooling-too-warm", WORK)


def draw_end(gallery: Gallery) -> None:
    gallery.walk()
    gallery.draw("closing", WORK)
    gallery.press(".hold-button")
    gallery.draw("closing-short-press", WORK)
    gallery.page.locator(".hold-button").focus()
    gallery.page.keyboard.press("Enter")
    gallery.draw("closing-keyboard", WORK)
    gallery.phone.cut()
    gallery.press(".hold .second")
    gallery.page.wait_for_function("location.hash.startsWith('#/record/')")
    gallery.page.wait_for_timeout(300)
    gallery.draw("record-on-phone")
    gallery.go("#/cars")
    gallery.draw("cars-offline")
    gallery.phone.restore()
    gallery.phone.sync()
    gallery.phone.wait_until_sent()
    gallery.go(f"#/record/{gallery.visit}")
    gallery.draw("record")
    gallery.draw("record-whole", whole=True)
    gallery.page.pdf(path=gallery.folder / "record.pdf", format="A4")
    gallery.press(".record-views .choice", 1)
    gallery.draw("record-customer", whole=True)
    note_charges(gallery)
    gallery.press(".acknowledged .second")
    gallery.draw("record-signing")
    sign(gallery)
    gallery.draw("record-signed", whole=True)
    gallery.draw("record-charges", at=gallery.page.locator(".charges"))
    gallery.go("#/due")
    gallery.page.locator(".due-row").first.wait_for()
    gallery.draw("due")
    gallery.draw("due-whole", whole=True)
    gallery.press(".due-row .due-open")
    gallery.draw("due-sheet")
    gallery.close_sheet()


def note_charges(gallery: Gallery) -> None:
    """Two lines on the customer's sheet, by its own form."""
    for button, what, amount, price in [(0, "Labour", "3,5", "64"), (1, "Engine oil, 5 l", "1", "44.90")]:
        gallery.press(".record-adds .second", button)
        for field, typed in {"what": what, "amount": amount, "price": price, "currency": "EUR"}.items():
            gallery.page.fill(f"#charge-{field}", typed)
        if button == 0:
            gallery.draw("record-charge")
        gallery.press("dialog .action")
        gallery.page.locator("dialog").wait_for(state="detached")


def sign(gallery: Gallery) -> None:
    gallery.page.get_by_label("Name", exact=True).fill("Mrs Miller")
    box = gallery.page.locator(".pad-of-strokes").bounding_box()
    assert box
    for at, (x, y) in enumerate(SIGNATURE):
        gallery.page.mouse.move(box["x"] + x * box["width"], box["y"] + y * box["height"])
        if at == 0:
            gallery.page.mouse.down()
    gallery.page.mouse.up()
    gallery.press("dialog .action")
    gallery.page.locator(".acknowledged .signature").wait_for()


def draw_exceptions(gallery: Gallery) -> None:
    """A second visit, closed with a plug left hand-tight and named."""
    gallery.begin("pippin-hatch")
    gallery.walk(id="manual-gearbox/tighten-fill-plug")
    gallery.press(".row .second", 2)
    gallery.page.locator("dialog textarea").fill("Torque wrench left at home")
    gallery.press("dialog .action")
    gallery.walk()
    gallery.draw("closing-named", WORK)
    gallery.page.locator(".hold-button").focus()
    gallery.page.keyboard.press("Enter")
    gallery.press(".hold .second")
    gallery.page.wait_for_function("location.hash.startsWith('#/record/')")
    gallery.draw("record-exceptions")


# A voice of the phone's own, and a phone that does not let its screen be kept on.
VOICE_AND_DARK = """
const voice = { localService: true, lang: "en-GB", default: true };
const synthesis = { getVoices: () => [voice], speak() {}, cancel() {}, addEventListener() {} };
Object.defineProperty(globalThis, "speechSynthesis", { value: synthesis, configurable: true });
globalThis.SpeechSynthesisUtterance = class {};
navigator.wakeLock.request = () => Promise.reject(new DOMException("not allowed here", "NotAllowedError"));
"""


def draw_helps(gallery: Gallery) -> None:
    """What the phone itself brings: its camera, its sense of level, its voice."""
    gallery.visit = Visit(gallery.phone, ["transfer-case"]).id
    gallery.walk(id="preparation/check-level")
    session = gallery.page.context.new_cdp_session(gallery.page)
    gallery.press(".panel .second")
    lean = {"alpha": 0, "beta": 1.4, "gamma": -0.2}
    session.send("DeviceOrientation.setDeviceOrientationOverride", lean)
    gallery.page.locator(".level-tilt", has_text="1.4°").wait_for()
    gallery.draw("work-level", WORK)
    session.detach()
    gallery.walk(id="transfer-case/read-magnet")
    picture = gallery.page.screenshot(type="jpeg", quality=40)
    gallery.page.locator("input[type=file]").set_input_files(
        {"name": "magnet.jpg", "mimeType": "image/jpeg", "buffer": picture}
    )
    gallery.page.locator(".row button", has_text="1 photo").click()
    gallery.page.locator("dialog img[src]").first.wait_for()
    gallery.draw("work-photos", WORK)
    gallery.close_sheet()
    with gallery.another_page(VOICE_AND_DARK):
        gallery.show_work()
        gallery.page.locator(".awake-mark[data-state=refused]").wait_for()
        gallery.draw("work-aloud", WORK)
