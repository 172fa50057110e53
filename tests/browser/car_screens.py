"""Draws the views of an owner's car: its form, its sheets and cards, and what plan and work ask of it."""

from __future__ import annotations

from gallery import Gallery
from phones import Phone

SAVE = ".fact-foot .action"
CLOSE = "dialog .foot > .second"
NEXT = ".car-page > footer .action"

TYPE_IN = """
async ({ like, without, confirmed }) => {
  const garage = await fillfirst.loadGarage();
  const text = await garage.exportSheet(like).text();
  const lines = text.split("\\n").filter((line) => !without.some((name) => line.startsWith(`${name} =`)));
  const { id } = await garage.importSheet(lines.join("\\n"), { asNew: true, isOwn: confirmed, by: "Ida" });
  await garage.describeCar(id, { title: "Our tern", plate: "DEMO 77" });
  return id;
}
"""

WRITE = """
async ([id, value]) => {
  const source = { kind: "label", reference: "door" };
  const draft = { fact: "wheel_torque", value, unit: "N*m", source, because: "Looked", by: "Ben" };
  await (await fillfirst.loadGarage()).writeFact(id, draft);
}
"""

BAD_SHEET = 'title = "Tern"\nplate = "DEMO 9"\nspeed = "fast"\n[facts]\nwheel_torque = { value = 120 }\n'
IMPOSSIBLE = """title = "Tern"
plate = "DEMO 9"
[facts]
wheel_torque = { value = "9000 N*m", source = { kind = "label", reference = "door" } }
engine_oil_capacity = { value = "4 psi", source = { kind = "label", reference = "door" } }
"""


def draw_own_car(gallery: Gallery) -> None:
    draw_new_car(gallery)
    draw_questions(gallery)
    draw_number(gallery)
    draw_sheets(gallery)
    draw_missing(gallery)
    draw_held_back(gallery)
    gallery.go("#/phone")
    gallery.draw("phone-units", at=gallery.page.locator(".units"))


def draw_new_car(gallery: Gallery) -> None:
    page = gallery.page
    gallery.go("#/car/new")
    gallery.draw("car-new", whole=True)
    page.fill("#car-title", "Our tern")
    page.fill("#car-plate", "DEMO 77")
    page.fill("#car-vin", "1M8GDM9AXKP04278")
    gallery.draw("car-new-vin-refused", at=page.locator(".field:has(#car-vin)"))
    page.fill("#car-vin", "1M8GDM9A1KP042788")
    gallery.draw("car-new-vin-odd", at=page.locator(".field:has(#car-vin)"))
    page.fill("#car-vin", "1M8GDM9AXKP042788")
    page.fill("#car-odometer", "84.210")
    page.fill("#car-by", "Ida")
    gallery.press(NEXT)
    page.locator(".car-page .fold").first.wait_for()
    gallery.draw("car-empty")


def draw_questions(gallery: Gallery) -> None:
    page = gallery.page
    gallery.press(NEXT)
    gallery.draw("car-question")
    gallery.press(".fact-stage .choice")
    gallery.draw("car-source-kinds")
    gallery.press(".source-choice")
    gallery.draw("car-source")
    page.fill("#source-document", "Owner’s book")
    page.fill("#source-page", "212")
    gallery.press(SAVE)
    page.locator(".given").wait_for(state="detached")
    gallery.press(".fact-stage .choice")
    gallery.draw("car-source-again")
    gallery.press(SAVE)
    page.locator(".given").wait_for(state="detached")
    gallery.press(CLOSE)
    gallery.press(".fold > summary")
    gallery.draw("car-questions", whole=True)


def draw_number(gallery: Gallery) -> None:
    page = gallery.page
    car = gallery.phone.ask(
        TYPE_IN, {"like": "pippin-hatch", "without": ["engine_oil_drain_plug_torque"], "confirmed": True}
    )
    gallery.go(f"#/car/{car}")
    gallery.press(".fold > summary", 1)
    page.locator("input[value=engine-oil]").check(force=True)
    gallery.draw("car-services")
    page.locator(".car-numbers .fold:not([hidden]) > summary", has_text="Engine oil").first.click()
    gallery.draw("car-numbers", whole=True)
    gallery.press("[data-fact=engine_oil_drain_plug_torque]")
    page.locator("#quantity").press_sequentially("18 lb-ft")
    gallery.draw("car-number")
    page.fill("#quantity", "18 psi")
    gallery.draw("car-number-wrong-unit")
    page.fill("#quantity", "900")
    gallery.draw("car-number-refused")
    page.fill("#quantity", "95 Nm")
    gallery.press(".keep")
    gallery.press(SAVE)
    gallery.draw("car-number-odd")
    gallery.press(".fact-stage .offers .second")
    gallery.press(SAVE)
    page.locator("dialog").wait_for(state="detached")
    gallery.press("[data-fact=engine_oil_drain_plug_torque]")
    gallery.draw("car-fact")
    gallery.press(".fact-card .foot .action")
    page.fill("#quantity", "25 Nm")
    gallery.press(".keep")
    gallery.draw("car-correct")
    gallery.press(".fact-stage .offers .second")
    gallery.press(SAVE)
    page.locator("dialog").wait_for(state="detached")
    gallery.press("[data-fact=engine_oil_drain_plug_torque]")
    gallery.draw("car-history", at=page.locator(".fact-history"))
    gallery.press(".fact-card .foot .row .second")
    gallery.draw("car-withdraw")
    gallery.press(CLOSE)
    page.locator(".fold > summary", has_text="The car itself").click()
    page.locator(".fold", has_text="The car itself").scroll_into_view_if_needed()
    gallery.draw("car-itself", whole=True)


def draw_sheets(gallery: Gallery) -> None:
    page = gallery.page
    car = gallery.phone.ask(TYPE_IN, {"like": "pippin-hatch", "without": [], "confirmed": False})
    gallery.go(f"#/car/{car}")
    gallery.draw("car-imported")
    gallery.press(".imported .second")
    gallery.draw("car-unconfirmed")
    gallery.press(CLOSE)
    gallery.go("#/car/new")
    for name, text in (("broken", BAD_SHEET), ("impossible", IMPOSSIBLE)):
        read_sheet(gallery, text)
        if name == "impossible":
            gallery.press("dialog .action")
        page.locator(".sheet-errors").wait_for()
        gallery.draw(f"car-sheet-{name}")
        gallery.press(CLOSE)
    text = gallery.phone.ask("async (id) => (await fillfirst.loadGarage()).exportSheet(id).text()", car)
    read_sheet(gallery, text)
    gallery.draw("car-sheet-known")
    gallery.press(CLOSE)


def read_sheet(gallery: Gallery, text: str) -> None:
    file = {"name": "car.toml", "mimeType": "application/toml", "buffer": text.encode()}
    gallery.page.locator(".sheet-reader input").last.set_input_files([file])
    gallery.page.locator("dialog").wait_for()


def draw_missing(gallery: Gallery) -> None:
    page = gallery.page
    without = ["wheel_torque", "engine_oil_drain_plug_torque", "engine_oil_capacity"]
    car = gallery.phone.ask(TYPE_IN, {"like": "pippin-hatch", "without": without, "confirmed": True})
    gallery.go(f"#/plan/{car}")
    page.locator("input[name=service][value=engine-oil]").check(force=True)
    page.locator(".missing-numbers .fold > summary").first.click()
    gallery.draw("plan-missing", at=page.locator(".missing-numbers"))
    gallery.press(".plan > footer .action")
    page.wait_for_function("location.hash.startsWith('#/work/')")
    gallery.visit = str(gallery.phone.ask("location.hash.split('/')[2]"))
    gallery.walk(id="engine-oil/drain-plug-torque")
    page.locator(".asking-card").wait_for()
    gallery.draw("work-asks")
    gallery.press(".give")
    gallery.draw("work-asks-number")
    gallery.press(CLOSE)


def draw_held_back(gallery: Gallery) -> None:
    """A plan whose services are known, but not yet all of their steps."""
    car = gallery.phone.ask(TYPE_IN, {"like": "pippin-hatch", "without": ["powertrain"], "confirmed": True})
    gallery.go(f"#/plan/{car}")
    gallery.draw("plan-held-back-first")
    service = gallery.page.locator("[data-service=brake-fluid]")
    service.locator(".choice").click()
    gallery.page.locator(".plan > footer .action", has_text="Say what this car is").wait_for()
    gallery.draw("plan-held-back", at=service)


def draw_disputed_number(gallery: Gallery, other: Phone) -> None:
    """Two phones, out of touch, that write one number differently."""
    car = gallery.phone.ask(TYPE_IN, {"like": "pippin-hatch", "without": [], "confirmed": True})
    gallery.phone.sync()
    gallery.phone.wait_until_sent()
    other.sync()
    for phone, value in [(gallery.phone, 112), (other, 118)]:
        phone.cut()
        phone.ask(WRITE, [car, value])
    for phone in (gallery.phone, other, gallery.phone):
        phone.restore()
        phone.sync()
        phone.wait_until_sent()
    gallery.go(f"#/car/{car}")
    gallery.page.locator(".dispute").wait_for()
    gallery.draw("car-dispute")
