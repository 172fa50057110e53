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
    page.get_by_label("Name", exact=True).fill("Mr Baker")
    page.get_by_role("button", name="I have seen this sheet").click()
    page.locator(".acknowledged li", has_text="Mr Baker").wait_for()
    text = squeeze("".join(sheet.extract_text() for sheet in print_pages(phone, "A4")))

    assert all(squeeze(words) in text for words in ("Mr Baker", "150", "Brake fluid", "done on your car"))
    assert "Takeback" not in text


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
