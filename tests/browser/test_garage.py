"""What the house has at hand: typed without a network, kept, and known on every phone of the house."""

from __future__ import annotations

import re
from collections.abc import Callable

from phones import Phone, Server

GARAGE = "#/garage"


def write_down_a_stand(phone: Phone) -> None:
    page = phone.page
    page.get_by_role("button", name="Stands: write it down").click()
    page.get_by_label("How many").fill("4")
    page.get_by_label("What one stand carries").fill("1.5 t")
    page.get_by_role("button", name="Keep it").click()
    # Tonnes are no unit here: it asks again instead of keeping a number that nobody meant.
    page.locator("dialog .field[data-wrong]").wait_for()
    page.get_by_label("What one stand carries").fill("1500")
    page.get_by_role("button", name="Keep it").click()
    page.locator("dialog").wait_for(state="detached")


def test_a_thing_typed_without_a_network_reaches_the_other_phone(
    server: Server, phones: Callable[..., Phone]
) -> None:
    first, other = phones(server).let_in(), phones(server).let_in(server.invite())
    first.page.goto(f"{server.address}/{GARAGE}")
    first.cut()
    write_down_a_stand(first)
    first.page.locator("label", has_text=re.compile("^Compressor$")).click()
    first.page.get_by_label("An hour of your own time is worth").fill("20")
    first.page.get_by_label("Currency").fill("EUR")
    first.page.get_by_label("Currency").blur()
    first.wait_for("fillfirst.sync.waiting >= 4")
    first.kill_page()
    first.open_again(f"/{GARAGE}").page.get_by_text("4 × · what one stand carries 1500 kg").wait_for()

    first.restore()
    first.wait_until_sent()
    other.sync()
    other.page.goto(f"{server.address}/{GARAGE}")

    other.page.get_by_text("4 × · what one stand carries 1500 kg").wait_for()
    assert other.page.locator("#has-compressor").is_checked()
    assert other.page.get_by_label("An hour of your own time is worth").input_value() == "20"
