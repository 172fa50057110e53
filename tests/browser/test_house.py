"""The house: an owner lets phones in and sends them away, shares records and makes backups, from a phone."""

from __future__ import annotations

from collections.abc import Callable

from phones import Phone, Server
from playwright.sync_api import Locator, expect

CLOSE_VISIT = (
    "(visit) => fillfirst.record(visit, 'visit-closed', { figures: {}, by: 'Test' }).then(() => true)"
)


def open_house(phone: Phone) -> Locator:
    """Show the house, and wait until its server was asked."""
    phone.ask("fillfirst.go('#/house')")
    phone.page.locator(".house-page h2").first.wait_for()
    return phone.page.locator(".house-page")


def press(scope: Locator, words: str) -> None:
    scope.get_by_role("button", name=words, exact=True).click()


def hold(phone: Phone, button: str, confirm: str) -> None:
    """As with a keyboard: a second, explicit button stands in for the hold."""
    phone.page.get_by_role("button", name=button, exact=True).focus()
    phone.page.keyboard.press("Enter")
    phone.page.get_by_role("button", name=confirm, exact=True).click()


def test_an_owner_lets_a_helper_in_names_it_and_sends_it_away(
    phone: Phone, server: Server, phones: Callable[..., Phone]
) -> None:
    house = open_house(phone)
    press(house, "A code for a helper")
    sheet = phone.page.get_by_role("dialog")
    expect(sheet.locator(".code-left")).to_contain_text(" left")
    expect(sheet.locator(".qr")).to_have_js_property("complete", True)
    helper = phones(server)
    helper.page.goto(server.address)
    helper.page.locator("#code").fill(sheet.locator(".code").inner_text())
    helper.page.locator("#phone-name").fill("yard phone")
    helper.page.locator(".let-in button").tap()
    helper.wait_for("fillfirst.me.paired && fillfirst.catalog !== null")

    expect(sheet.locator(".code-told")).to_have_text("Let in: yard phone")
    press(sheet, "Close")
    theirs = open_house(helper)
    expect(theirs).to_contain_text("Records work.")
    expect(theirs.get_by_role("heading", name="Let a phone in")).to_have_count(0)

    house.locator("summary", has_text="Phones").click()
    house.locator(".house-row", has_text="yard phone").click()
    phone.page.locator("#device-name").fill("barn phone")
    press(phone.page.get_by_role("dialog"), "Call it that")
    house.locator(".house-row", has_text="barn phone").click()
    hold(phone, "Send it away", "Yes, send it away")

    expect(house.locator(".house-gone")).to_contain_text("barn phone, sent away on")
    helper.sync()
    helper.wait_for("fillfirst.sync.state === 'unpaired'")


def test_a_record_is_shared_by_a_link_until_it_is_taken_back(
    phone: Phone, phones: Callable[..., Phone]
) -> None:
    visit = phone.open_visit()
    phone.ask(CLOSE_VISIT, visit)
    phone.wait_until_sent()
    house = open_house(phone)
    house.locator("summary", has_text="Links").click()
    press(house, "Share a record")
    phone.page.locator("#link-for").fill("Mr Baker")
    press(phone.page.get_by_role("dialog"), "Make the link")
    address = phone.page.locator("dialog .address").inner_text()
    stranger = phones(phone.server)
    stranger.page.goto(address)

    assert stranger.page.locator("h1").count() == 1
    press(phone.page.get_by_role("dialog"), "Close")
    house.locator(".house-row", has_text="Mr Baker").click()
    hold(phone, "Take it back", "Yes, take it back")
    expect(house.locator(".house-row", has_text="Mr Baker")).to_have_count(0)
    assert stranger.page.request.get(address).status == 404


def test_a_backup_is_made_when_an_owner_asks(phone: Phone, server: Server) -> None:
    house = open_house(phone)
    expect(house).to_contain_text("None yet: a dead disk would lose what no phone holds.")

    press(house, "Back up now")

    expect(house).to_contain_text("Made just now")
    assert len(list((server.data / "backups").glob("*.tar"))) == 1


def test_a_house_out_of_reach_says_so_and_is_asked_again(phone: Phone, server: Server) -> None:
    server.kill()
    house = open_house(phone)
    expect(house).to_contain_text("The server does not answer")
    expect(house.get_by_role("button", name="Back up now")).to_have_count(0)

    server.start()
    press(house, "Ask again")

    expect(house.get_by_role("button", name="Back up now")).to_be_visible()


def test_a_phone_that_leaves_keeps_what_it_recorded(phone: Phone) -> None:
    visit = phone.open_visit()
    done = phone.finish_step(visit)
    phone.wait_until_sent()
    house = open_house(phone)
    expect(house.get_by_role("button", name="Hold to leave")).to_be_visible()

    hold(phone, "Hold to leave", "Yes, leave")

    expect(house).to_contain_text("The house does not know this phone")
    phone.wait_for("fillfirst.sync.state === 'unpaired'")
    assert phone.done(visit) == [done]
