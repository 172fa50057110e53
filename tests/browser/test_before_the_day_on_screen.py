"""The evening before: decided, bought and laid out on the phone, without a network, on both phones."""

from __future__ import annotations

import re
from collections.abc import Callable
from io import BytesIO
from unicodedata import normalize

from phones import Phone, Server
from pypdf import PdfReader

ESTATE = "fellside-estate"

#: A garage with all that an oil change asks for, and the prices of its filter and of an offer.
TELL = """
async () => {
  const { inventory } = await fillfirst.loadGarage();
  const has = ["jack", "fire-extinguisher", "spill-binder", "drain-pan", "can", "carbon-monoxide-alarm"];
  for (const of of has) await inventory.keepThing({ of });
  await inventory.keepThing({ of: "stands", count: 4 });
  await inventory.writePrice("quote:fellside-estate:engine-oil", 180, "EUR");
  return 1;
}
"""

KEEP_HOSE = """
async () => {
  const { inventory } = await fillfirst.loadGarage();
  await inventory.keepThing({ of: "exhaust-hose" });
}
"""

SHARED = """
() => {
  globalThis.shared = [];
  navigator.share = async (told) => void shared.push(told);
}
"""


def open_plan(phone: Phone, server: Server, car: str = ESTATE) -> None:
    phone.page.goto(f"{server.address}/#/plan/{car}")
    phone.page.locator(".services").wait_for()


def open_section(phone: Phone, name: str) -> None:
    phone.page.locator(f"[data-section={name}] > summary").click()


def test_a_service_is_at_home_once_what_is_missing_is_there(
    server: Server, phones: Callable[..., Phone]
) -> None:
    phone = phones(server).let_in()
    phone.cut()
    phone.ask(TELL)
    open_hash(phone, f"#/plan/{ESTATE}")
    oil = phone.page.locator("[data-service=engine-oil]")

    oil.get_by_text("at home once you have exhaust hose").wait_for()
    phone.ask(KEEP_HOSE)

    oil.get_by_text("at home", exact=True).wait_for()
    oil.locator("summary").click()
    oil.get_by_text("Not priced yet: fluids, parts, and handing in.").wait_for()


def test_a_garage_that_nobody_has_told_about_lacks_nothing(
    server: Server, phones: Callable[..., Phone]
) -> None:
    phone = phones(server).let_in()
    open_plan(phone, server)
    phone.page.locator("input[name=service][value=engine-oil]").dispatch_event("click")
    open_section(phone, "tools")
    lines = phone.page.locator("[data-section=tools] .ticks li")
    lines.first.wait_for()
    missing = lines.filter(has_text=re.compile("missing|none of the garage|No wrench of the garage"))
    untold = missing.count()

    phone.ask(TELL)

    missing.first.wait_for()
    assert untold == 0


def open_hash(phone: Phone, address: str) -> None:
    phone.ask("(address) => void (location.hash = address)", address)
    phone.page.locator(".services").wait_for()


def test_what_a_hazard_reserves_cannot_be_chosen(server: Server, phones: Callable[..., Phone]) -> None:
    phone = phones(server).let_in()
    open_plan(phone, server, "churn-van")

    row = phone.page.locator("[data-service=coolant-low-temperature]")

    row.get_by_text("always handed over").wait_for()
    assert row.locator("input[name=service]").count() == 0
    row.locator("summary").click()
    row.get_by_text("High voltage: hands off.", exact=False).wait_for()


def test_both_phones_tick_one_list(server: Server, phones: Callable[..., Phone]) -> None:
    first, other = phones(server).let_in(), phones(server).let_in(server.invite())
    first.cut()
    open_hash(first, f"#/plan/{ESTATE}")
    first.page.locator("input[name=service][value=engine-oil]").dispatch_event("click")
    open_section(first, "buy")
    first.page.locator(".ticks li", has_text="Oil filter cartridge").locator("label").click()
    first.page.get_by_text("1 of 5 ticked").wait_for()
    first.wait_for("fillfirst.sync.waiting >= 2")

    first.restore()
    first.wait_until_sent()
    other.sync()
    open_plan(other, server)

    other.page.locator("input[name=service][value=engine-oil]:checked").wait_for(state="attached")
    open_section(other, "buy")
    other.page.locator(".ticks li", has_text="Oil filter cartridge").locator("input:checked").wait_for(
        state="attached"
    )
    other.page.get_by_text("1 of 5 ticked").wait_for()


def test_the_list_is_sent_as_text_and_printed_as_pages(server: Server, phones: Callable[..., Phone]) -> None:
    phone = phones(server).let_in()
    phone.cut()
    phone.ask(SHARED)
    open_hash(phone, f"#/plan/{ESTATE}")
    for job in ("engine-oil", "front-final-drive", "rear-final-drive"):
        phone.page.locator(f"input[name=service][value={job}]").dispatch_event("click")
    open_section(phone, "buy")

    phone.page.locator("[data-section=buy]").get_by_role("button", name="Send the list").click()
    phone.wait_for("shared.length === 1")
    text = str(phone.ask("shared[0].text")).replace("\u00a0", " ")

    assert "[ ] Engine oil: " in text
    assert "    must carry Overbeck EO-7 (demo) · 5W-30" in text
    assert "    No. DEMO 10-417" in text
    assert "[ ] Sealing washer or ring, fill plug and drain plug: 3 ×" in text


def test_the_printed_list_has_every_line_though_nothing_is_open(
    server: Server, phones: Callable[..., Phone]
) -> None:
    phone = phones(server).let_in()
    open_plan(phone, server)
    phone.page.locator("input[name=service][value=engine-oil]").dispatch_event("click")
    phone.page.locator("[data-section=buy] summary .quiet", has_text="1 fluid").wait_for()

    phone.ask("dispatchEvent(new Event('beforeprint'))")
    bought = phone.page.locator("[data-section=buy] li b").all_text_contents()
    lines = [" ".join(line.split()) for line in bought if line.strip()]
    assert len(lines) > 3
    for paper in ("A4", "Letter"):
        pages = PdfReader(BytesIO(phone.page.pdf(format=paper))).pages
        # NFKC takes the font's ligatures apart again.
        told = [normalize("NFKC", " ".join(page.extract_text().split())) for page in pages]

        assert "For Fellside estate" in told[0]
        assert "No. DEMO 10-433" in told[0]
        assert "Start the visit" not in " ".join(told)
        assert "Pan for 6.4 l of used oil at one go" in " ".join(told)
        assert [line for line in lines if line not in " ".join(told)] == []
        assert len(told) <= 3


PRICES = """
async () => {
  const { inventory } = await fillfirst.loadGarage();
  await inventory.writePrice("pack:engine-oil:Overbeck EO-7 (demo):5 l", 44, "EUR");
  await inventory.writePrice("pack:engine-oil:Overbeck EO-7 (demo):1 l", 11.5, "EUR");
}
"""


def test_the_packs_open_to_what_they_were_chosen_by(server: Server, phones: Callable[..., Phone]) -> None:
    phone = phones(server).let_in()
    phone.cut()
    phone.ask(PRICES)
    open_hash(phone, f"#/plan/{ESTATE}")
    phone.page.locator("input[name=service][value=engine-oil]").dispatch_event("click")
    open_section(phone, "buy")
    # With a sum the prices have come in.
    phone.page.locator(".buy .sum").wait_for()
    phone.page.locator(".ticks .packs", has_text="buy 1 × 5").click()

    sheet = phone.page.locator("dialog")
    sheet.get_by_text("Packs on sale", exact=False).first.wait_for()
    told = sheet.inner_text().replace("\u00a0", " ")
    assert "1 × 5 l + 2 × 1 l" in told
    assert "1 l and 5 l" in told
    assert "€11.50 and €44" in told
    assert "for Engine oil and filter" in told
