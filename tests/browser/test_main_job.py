"""The main job: plan every service of a car, cut the network, work to the end, find the record elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from mechanic import Mechanic
from phones import Phone, Server

#: What gauges, jugs and labels show on the day, typed as people type: some with a comma, some with a point.
READINGS = {
    "odometer_reading": "148326",
    "automatic_gearbox_arrival_temperature": "62",
    "jack_rating": "3000",
    "stand_rating": "3000",
    "tilt_lengthwise": "0,2",
    "tilt_crosswise": "0.1",
    "hand_warm_temperature": "48",
    "transfer_case_out": "0,58",
    "transfer_case_poured": "0,66",
    "transfer_case_caught": "0,05",
    "front_final_drive_out": "0,74",
    "front_final_drive_poured": "0,82",
    "front_final_drive_caught": "0,05",
    "rear_final_drive_out": "1,02",
    "rear_final_drive_poured": "1,10",
    "rear_final_drive_caught": "0,06",
    "automatic_gearbox_plug_out": "2,6",
    "automatic_gearbox_pan_out": "3,1",
    "automatic_gearbox_first_in": "4,4",
    "automatic_gearbox_start_temperature": "28",
    "automatic_gearbox_temperature": "38",
    "automatic_gearbox_level_temperature": "39",
    "automatic_gearbox_second_in": "1,8",
    "automatic_gearbox_caught": "0,4",
    "brake_reservoir_out": "160",
    "brake_bleeder_pressure": "1,4",
    "brake_nipple_out": "210",
    "brake_waste": "1000",
    "cold_temperature": "24",
    "coolant_main_old_freezing": "-26",
    "coolant_main_out": "8,2",
    "coolant_main_vacuum_pulled": "24",
    "coolant_main_vacuum_after": "24",
    "coolant_main_vacuum_pulled_again": "24",
    "coolant_main_poured": "8,2",
    "coolant_low_temperature_old_freezing": "-26",
    "coolant_low_temperature_out": "3,4",
    "coolant_low_temperature_vacuum_pulled": "24",
    "coolant_low_temperature_vacuum_after": "24",
    "coolant_low_temperature_vacuum_pulled_again": "24",
    "coolant_low_temperature_poured": "3,4",
    "engine_oil_out": "6,2",
    "engine_oil_poured": "5,8",
    "coolant_main_run_temperature": "92",
    "engine_oil_level_read": "40",
    "engine_oil_added": "0,5",
    "engine_oil_level_set": "88",
    "settled_temperature": "26",
    "coolant_main_added": "0,1",
    "coolant_main_new_freezing": "-31",
    "coolant_low_temperature_added": "0,05",
    "coolant_low_temperature_new_freezing": "-31",
}


def open_visit(phone: Phone, car: str) -> str:
    """Choose every service of a car on the Plan screen and start; gives the visit."""
    page = phone.page
    page.locator(".car-card", has_text=car).get_by_role("button").tap()
    page.locator("button.all").tap()
    page.locator(".page.plan footer .action").tap()
    phone.wait_for("location.hash.startsWith('#/work/')")
    return str(phone.ask("location.hash.split('/')[2]"))


def close_visit(phone: Phone) -> None:
    """Hold the closing button until it is full."""
    page = phone.page
    button = page.locator(".hold-button")
    button.wait_for()
    page.clock.run_for(600)  # a press on what has just come is not taken, and only this clock lets time pass
    button.dispatch_event("pointerdown", {"button": 0, "pointerId": 7, "bubbles": True})
    # The button goes with its screen as soon as it is full, so nobody lets go of it.
    page.clock.run_for(1200)
    phone.wait_for("location.hash.startsWith('#/record/')")


def read_record(phone: Phone, visit: str) -> dict[str, Any]:
    answer = phone.context.request.get(f"{phone.server.address}/api/visits/{visit}/record.json")
    assert answer.ok, answer.text()
    record: dict[str, Any] = answer.json()
    return record


def test_a_whole_visit_without_network_is_found_on_the_server_and_on_a_second_phone(
    server: Server, phones: Callable[..., Phone]
) -> None:
    phone = phones(server)
    phone.page.clock.install()
    phone.let_in()
    visit = open_visit(phone, "Fellside")
    phone.cut()
    mechanic = Mechanic(phone, visit, READINGS)
    mechanic.work_until("coolant-main/vacuum-stood")
    phone.reload()
    assert phone.ask("location.hash").startswith("#/open/")
    phone.page.locator(".action").first.tap()
    mechanic.work_until()
    close_visit(phone)
    phone.wait_for("document.querySelector('main').innerText.includes('On this phone only')")
    phone.restore()
    phone.page.clock.run_for(60_000)
    phone.wait_until_sent()
    phone.wait_for("document.querySelector('main').innerText.includes('On the server')")
    shown_here = phone.page.locator("main").inner_text()
    record = read_record(phone, visit)
    second = phones(server).let_in(server.invite())
    second.sync()
    second.page.goto(f"{server.address}/#/record/{visit}")

    assert len(record["jobs"]) == 8
    assert all(step["status"] == "done" for step in record["steps"])
    assert [figure for figure in record["figures"] if not figure["agrees"]] == []
    assert record["left_open"] == []
    second.wait_for("document.querySelector('main')?.innerText.includes('On the server')")
    assert second.page.locator("main").inner_text() == shown_here
