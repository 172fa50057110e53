"""The record after the day: packs, receipts and prices typed in, and the sheets on paper as pages."""

from __future__ import annotations

import io
import re
import unicodedata
from collections.abc import Iterator
from typing import Any

import pytest
from phones import Phone
from pypdf import PdfReader
from screen_visits import Visit, start_afresh

JOBS = ["brake-fluid"]
#: Width and height of a page in points.
PAPERS = {"A4": (595, 842), "Letter": (612, 792)}
#: Waits until a part that a screen fetches late has run.
LOADED = """
(path) => {
  const fetched = performance.getEntriesByType("resource").find(({ name }) => name.endsWith(path));
  return import(fetched.name).then(() => 1);
}
"""
MAKE_PICTURE = """
async () => {
  const canvas = new OffscreenCanvas(8, 8);
  canvas.getContext("2d").fillRect(0, 0, 8, 8);
  return [...new Uint8Array(await (await canvas.convertToBlob()).arrayBuffer())];
}
"""


@pytest.fixture(scope="module")
def closed(kept_phone: Phone) -> str:
    """A visit of the brakes, walked to its end and closed."""
    visit = Visit(kept_phone, JOBS).walk()
    visit.go("#/cars")
    kept_phone.ask("(id) => fillfirst.record(id, 'visit-closed', { figures: {}, by: 'Ada' })", visit.id)
    return visit.id


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.check()


def show_record(phone: Phone, visit: str) -> Any:
    phone.page.evaluate("(id) => (location.hash = `#/record/${id}`)", visit)
    phone.page.locator(".record-after").wait_for()
    return phone.page


def picture(phone: Phone) -> Any:
    return {"name": "label.png", "mimeType": "image/png", "buffer": bytes(phone.ask(MAKE_PICTURE))}


def read_server(phone: Phone, visit: str) -> dict[str, Any]:
    phone.sync()
    phone.wait_until_sent()
    record: dict[str, Any] = phone.ask(
        "async (id) => (await fetch(`/api/visits/${id}/record`)).json()", visit
    )
    return record


def test_batch_label_and_receipt_typed_without_a_network_are_on_the_servers_record(
    phone: Phone, closed: str
) -> None:
    page = show_record(phone, closed)
    phone.cut()
    page.get_by_role("button", name="What was on the pack").click()
    page.get_by_label("Batch number").fill("L 22-7")
    page.get_by_label("Photo of the label").locator("visible=false").set_input_files(picture(phone))
    page.get_by_role("button", name="Keep", exact=True).click()
    page.get_by_text("batch L 22-7").wait_for()
    page.get_by_role("button", name="Used fluid handed in").click()
    page.get_by_label("How much").fill("1.2")
    page.get_by_label("Where it was taken").fill("Town yard")
    page.get_by_role("button", name="Keep", exact=True).click()
    page.get_by_text("Town yard").wait_for()
    phone.restore()

    record = read_server(phone, closed)
    fluid = record["fluids"][0]

    assert (fluid["batch"], fluid["renewed"], len(fluid["label"])) == ("L 22-7", True, 64)
    assert [(used["stream"], used["place"]) for used in record["used_fluids"]] == [
        ("brake-fluid", "Town yard")
    ]


def test_brake_fluid_says_what_came_out_and_what_went_in_as_the_server_does(
    phone: Phone, closed: str
) -> None:
    cells = show_record(phone, closed).locator(".fluids tbody tr").first.locator("td").all_inner_texts()
    [fluid] = read_server(phone, closed)["fluids"]

    shown = [re.sub(r"[^0-9.ml]", "", cell) for cell in cells[1:]]
    assert shown == [re.sub(r"[^0-9.ml]", "", fluid[key]) for key in ("out_shown", "in_shown")]
    assert all(shown)


def test_a_wrong_odometer_is_put_right_and_both_stay_on_record(phone: Phone, closed: str) -> None:
    page = show_record(phone, closed)
    page.get_by_role("button", name="The odometer was read wrongly").click()
    page.get_by_label("It showed").fill("148310")
    page.get_by_label("What went wrong").fill("digits swapped")
    page.get_by_role("button", name="Keep", exact=True).click()
    page.get_by_text("digits swapped").wait_for()

    record = read_server(phone, closed)

    assert round(record["odometer_m"]) == 148_310_000
    assert [each["because"] for each in record["odometer_corrections"]] == ["digits swapped"]


def test_a_customer_reads_what_was_done_what_it_costs_and_signs(phone: Phone, closed: str) -> None:
    page = show_record(phone, closed)
    page.get_by_text("For the customer").click()
    page.get_by_role("button", name="Add labour").click()
    page.get_by_label("How many").fill("2.5")
    page.get_by_label("Price of one").fill("60")
    page.get_by_label("Currency").fill("eur")
    page.get_by_role("button", name="Keep", exact=True).click()
    page.locator(".charge-sum", has_text="150").wait_for()
    page.get_by_role("button", name="Name and signature").click()
    page.get_by_label("Name", exact=True).fill("Mr Baker")
    page.get_by_role("button", name="I have seen this sheet").click()
    page.locator(".acknowledged li", has_text="Mr Baker").wait_for()
    text = squeeze("".join(sheet.extract_text() for sheet in print_pages(phone, "A4")))

    assert all(squeeze(words) in text for words in ("Mr Baker", "150", "Brake fluid", "done on your car"))
    assert "Takeback" not in text


def draw(phone: Phone, *points: tuple[float, float]) -> None:
    """One stroke, in parts of the pad."""
    box = phone.page.locator(".pad-of-strokes").bounding_box()
    assert box
    mouse = phone.page.mouse
    for at, (x, y) in enumerate(points):
        mouse.move(box["x"] + x * box["width"], box["y"] + y * box["height"])
        if at == 0:
            mouse.down()
    mouse.up()


def test_a_signature_is_drawn_cleared_and_drawn_again_without_a_network(phone: Phone, closed: str) -> None:
    page = show_record(phone, closed)
    phone.cut()
    page.get_by_text("For the customer").click()
    page.get_by_role("button", name="Name and signature").click()
    page.get_by_label("Name", exact=True).fill("Mrs Miller")
    draw(phone, (0.1, 0.1), (0.9, 0.9))
    page.get_by_role("button", name="Clear it and draw again").click()
    draw(phone, (0.2, 0.5), (0.5, 0.25))
    draw(phone, (0.6, 0.5))
    page.get_by_role("button", name="I have seen this sheet").click()
    shown = page.get_by_role("img", name="Signature of Mrs Miller").locator("path")
    shown.wait_for(state="attached")
    path = str(shown.get_attribute("d"))
    phone.restore()

    [seen] = [each for each in read_server(phone, closed)["acknowledged"] if each["name"] == "Mrs Miller"]

    strokes = re.fullmatch(r"M(\d+) (\d+)L\1 \2L(\d+) (\d+)M(\d+) (\d+)L\5 \6", path)
    assert strokes, path
    assert [int(each) for each in strokes.groups()] == pytest.approx([200, 200, 500, 100, 600, 200], abs=6)
    assert seen["signature"] == path


def test_the_customers_sheet_asks_nothing_about_packs(phone: Phone, closed: str) -> None:
    page = show_record(phone, closed)
    pack = page.get_by_role("button", name="was on the pack")
    pack.first.wait_for()

    page.get_by_text("For the customer").click()

    page.get_by_role("heading", name="What was done on your car").wait_for()
    assert pack.count() == 0


def test_the_bottle_is_noted_at_the_step_that_pours_it(kept_phone: Phone) -> None:
    phone = start_afresh(kept_phone)
    visit = Visit(phone, JOBS).walk(id="brake-fluid/fill-reservoir")
    phone.cut()
    bottle = phone.page.get_by_role("button", name="Note the bottle")
    bottle.click()
    phone.page.get_by_label("Name on the pack").fill("Demo clear")
    phone.page.get_by_label("Batch number").fill("B 5")
    phone.page.get_by_label("Photo of the label").locator("visible=false").set_input_files(picture(phone))

    phone.page.get_by_role("button", name="Keep", exact=True).click()

    phone.page.locator(".bottle", has_text="Demo clear · batch B 5 · label photographed").wait_for()
    assert visit.next == "brake-fluid/fill-reservoir"
    phone.restore()
    phone.wait_until_sent()
    phone.check()


def test_a_step_that_pours_nothing_asks_for_no_bottle(kept_phone: Phone) -> None:
    phone = start_afresh(kept_phone)
    Visit(phone, JOBS).walk(id="brake-fluid/suck-reservoir")
    phone.ask(LOADED, "/parts/step/bottle.js")

    assert phone.page.get_by_role("button", name="Note the bottle").count() == 0


def print_pages(phone: Phone, paper: str) -> Any:
    pdf = phone.page.pdf(format=paper, print_background=True)
    return PdfReader(io.BytesIO(pdf)).pages


@pytest.mark.parametrize("paper", PAPERS)
def test_the_record_on_paper_cuts_no_row_and_leaves_nothing_out(
    phone: Phone, closed: str, paper: str
) -> None:
    page = show_record(phone, closed)
    phone.ask("dispatchEvent(new Event('beforeprint'))")
    rows = page.locator(".record tbody tr, .record-steps li").all_text_contents()
    sheets = print_pages(phone, paper)
    pages = [squeeze(sheet.extract_text()) for sheet in sheets]
    sizes = [float(side) for sheet in sheets for side in sheet.mediabox[2:]]
    phone.ask("dispatchEvent(new Event('afterprint'))")

    cut = [row for row in rows if not any(squeeze(clean(row)) in each for each in pages)]
    assert cut == []
    assert sizes == pytest.approx([*PAPERS[paper]] * len(sheets), abs=1.5)
    assert len(sheets) <= 6
    assert all(pages)


def clean(row: str) -> str:
    """A row without the words of its buttons, which are not printed."""
    return re.sub("(Change what|What) was on the pack", "", row)


def squeeze(text: str) -> str:
    """Without spaces, and without the joined letters that print uses."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFKC", text))
