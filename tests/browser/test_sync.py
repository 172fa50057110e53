"""Rounds between a phone and the server, with everything that goes wrong between two machines."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from phones import Phone, Server, make_environment, read_log
from playwright.sync_api import Route

# Puts an entry straight into the phone's log, as a faulty version of the app would have.
SMUGGLE = """
(change) => new Promise((resolve, reject) => {
  const opening = indexedDB.open("fillfirst");
  opening.onsuccess = () => {
    const transaction = opening.result.transaction(["events", "meta"], "readwrite");
    const reading = transaction.objectStore("meta").get("phone");
    reading.onsuccess = () => {
      const phone = reading.result;
      phone.n += 1;
      const { device, n, hlc, cursor: seen } = phone;
      const made = { id: crypto.randomUUID(), device, n, hlc, seen, wall: "2026-05-04T10:42:00+02:00" };
      const event = { ...made, kind: "step-done", v: 1, subject: "nothing", payload: {}, ...change };
      transaction.objectStore("events").add(event);
      transaction.objectStore("meta").put(phone, "phone");
    };
    transaction.oncomplete = () => { opening.result.close(); resolve(true); };
    transaction.onabort = () => reject(transaction.error);
  };
})
"""


def test_a_reply_lost_after_the_commit_makes_no_entry_twice(phone: Phone, server: Server) -> None:
    lost: list[int] = []

    def lose_reply(route: Route) -> None:
        lost.append(route.fetch().status)
        route.abort("connectionreset")

    visit = phone.open_visit()
    phone.wait_until_sent()
    phone.context.route("**/api/sync", lose_reply)
    done = phone.finish_step(visit)
    phone.wait_for("fillfirst.sync.state === 'offline'")
    assert lost[0] == 200

    phone.context.unroute("**/api/sync")
    phone.sync()
    phone.wait_until_sent()

    assert [event["n"] for event in read_log(server, phone)] == [1, 2]
    assert phone.done(visit) == [done]


def test_a_network_that_goes_in_the_middle_of_many_rounds_loses_nothing(phone: Phone, server: Server) -> None:
    rounds: list[int] = []

    def cut_after_the_first(route: Route) -> None:
        rounds.append(len(json.loads(route.request.post_data or "{}")["events"]))
        if len(rounds) == 1:
            # Asked from here: the phone may not yet have noticed that it has a network again.
            route.fulfill(response=route.fetch())
        else:
            route.abort("internetdisconnected")

    phone.cut()
    visit = phone.open_visit()
    phone.ask(RECORD_NOTES, [visit, 1100])
    phone.context.route("**/api/sync", cut_after_the_first)
    phone.restore()
    phone.sync()
    phone.wait_for("fillfirst.sync.state === 'offline' && fillfirst.sync.waiting > 0")
    assert (rounds[0], phone.ask("fillfirst.sync.waiting")) == (500, 601)

    phone.context.unroute("**/api/sync")
    phone.sync()
    phone.wait_until_sent()

    assert phone.ask(COUNT, visit) == 1101
    assert count_log(server, phone) == 1101


def test_the_same_batch_twice_is_the_same_batch_once(phone: Phone, server: Server) -> None:
    sent: list[str] = []
    phone.page.on("request", lambda request: sent.append(request.post_data or ""))
    visit = phone.open_visit()
    phone.finish_step(visit)
    phone.wait_until_sent()
    before = read_log(server, phone)

    headers = {"content-type": "application/json", "origin": server.address}
    batch = next(body for body in reversed(sent) if '"kind"' in body)
    answer = phone.context.request.post(f"{server.address}/api/sync", data=batch, headers=headers).json()

    assert answer["accepted"] == [event["id"] for event in json.loads(batch)["events"]]
    assert read_log(server, phone) == before


def test_one_bad_entry_among_good_ones_is_refused_alone_and_shown(phone: Phone, server: Server) -> None:
    visit = phone.open_visit()
    phone.cut()
    first = phone.finish_step(visit)
    phone.ask(SMUGGLE, {"kind": "Not A Kind"})
    second = phone.finish_step(visit)

    phone.restore()
    phone.sync()
    phone.wait_for("fillfirst.sync.state === 'refused' && fillfirst.sync.waiting === 0")

    assert [event["payload"].get("step") for event in read_log(server, phone)] == [None, first, second]
    assert phone.ask("fillfirst.sync.refusals.map((refusal) => refusal.code)") == ["bad_shape"]
    assert phone.page.locator(".bar", has_text="did not take").is_visible()


def test_an_entry_of_a_kind_that_nobody_knows_is_passed_on_to_other_phones(
    phone: Phone, server: Server, phones: Callable[..., Phone]
) -> None:
    phone.ask(SMUGGLE, {"kind": "of-tomorrow", "v": 7, "payload": {"any": [1, None]}, "extra": True})
    phone.sync()
    phone.wait_until_sent()

    other = phones(server).let_in(server.invite())
    other.sync()

    assert other.ask(READ_KIND, "of-tomorrow") == [{"v": 7, "payload": {"any": [1, None]}, "extra": True}]


def test_a_server_put_back_to_an_older_copy_gets_everything_again(
    phone: Phone, server: Server, phones: Callable[..., Phone], tmp_path: Path
) -> None:
    other = phones(server).let_in(server.invite())
    visit = phone.open_visit()
    phone.wait_until_sent()
    other.sync()
    server.stop()
    shutil.copytree(server.data, tmp_path / "backup")
    server.start()
    other.ask("(visit) => fillfirst.loadVisit(visit).then(() => true)", visit)
    theirs = other.finish_step(visit)
    other.wait_until_sent()
    phone.sync()
    ours = phone.finish_step(visit)
    phone.wait_until_sent()
    before = {event["id"] for event in read_log(server, phone)}
    other.kill_page()
    other.cut()

    server.kill()
    shutil.rmtree(server.data)
    shutil.copytree(tmp_path / "backup", server.data)
    server.start()
    phone.finish_step(visit)
    phone.sync()
    phone.wait_until_sent()

    log = read_log(server, phone)
    assert before < {event["id"] for event in log}
    assert {theirs, ours} <= {event["payload"].get("step") for event in log}
    other.restore()


def test_a_phone_that_was_sent_away_goes_on_recording_and_sends_all_once_it_is_let_in_again(
    phone: Phone, server: Server
) -> None:
    visit = phone.open_visit()
    phone.wait_until_sent()
    own = phone.context.request.get(f"{server.address}/api/devices").json()["own"]
    gone = phone.context.request.delete(
        f"{server.address}/api/devices/{own}", headers={"origin": server.address}
    )
    assert gone.status == 204
    done = phone.finish_step(visit)
    phone.wait_for("fillfirst.sync.state === 'unpaired'")
    assert phone.page.locator(".bar", has_text="no longer knows").is_visible()
    later = phone.finish_step(visit)

    phone.ask("(code) => fillfirst.pair(code)", server.invite().split("=")[1])
    phone.wait_until_sent()

    assert [event["payload"].get("step") for event in read_log(server, phone)] == [None, done, later]
    assert phone.page.locator(".bar", has_text="no longer knows").is_hidden()


def test_a_login_page_that_answers_in_place_of_the_server_is_taken_for_no_network(phone: Phone) -> None:
    phone.context.route("**/api/sync", lambda route: route.fulfill(body="<h1>Welcome to the hotel</h1>"))

    phone.open_visit()
    phone.wait_for("fillfirst.sync.state === 'offline'")

    assert "not this phone's server" in phone.ask("fillfirst.sync.problem")
    assert phone.ask("fillfirst.sync.waiting") == 1


def test_another_fillfirst_at_the_same_address_is_not_given_credit(phone: Phone) -> None:
    def answer_as_another(route: Route) -> None:
        answer: dict[str, Any] = route.fetch().json()
        route.fulfill(json=answer | {"server_id": "another"})

    phone.context.route("**/api/sync", answer_as_another)
    phone.open_visit()
    phone.wait_for("fillfirst.sync.state === 'offline'")

    assert phone.ask("fillfirst.sync.waiting") == 1
    assert "another server" in phone.ask("fillfirst.sync.problem")


def test_an_app_that_its_server_no_longer_serves_says_so_and_keeps_everything(phone: Phone) -> None:
    problem = {"code": "app_too_old", "message": "", "next": ""}
    phone.context.route("**/api/sync", lambda route: route.fulfill(status=409, json=problem))
    phone.open_visit()
    phone.wait_for("fillfirst.sync.state === 'app-old'")

    phone.page.locator(".bar", has_text="take the newer version").wait_for()
    assert phone.ask("fillfirst.sync.waiting") == 1


def test_a_server_that_is_too_old_for_the_app_is_told_and_keeps_what_came(
    phone: Phone, server: Server
) -> None:
    def answer_as_of_old(route: Route) -> None:
        answer: dict[str, Any] = route.fetch().json()
        route.fulfill(json=answer | {"protocol": 0})

    phone.context.route("**/api/sync", answer_as_of_old)
    phone.open_visit()
    phone.page.locator(".bar", has_text="its keeper has to update it").wait_for()
    phone.context.unroute("**/api/sync")
    phone.sync()
    phone.wait_until_sent()

    assert [event["n"] for event in read_log(server, phone)] == [1]
    assert phone.page.locator(".bar", has_text="its keeper").is_hidden()


def test_what_one_tab_records_shows_in_the_other(phone: Phone) -> None:
    visit = phone.open_visit()
    first = phone.page
    phone.open_again(f"/#/work/{visit}")
    done = phone.finish_step(visit)

    phone.page = first
    phone.wait_for("([visit, step]) => step in fillfirst.visit(visit).visit.steps", [visit, done])

    assert phone.next_step(visit) != done


def test_what_was_not_sent_leaves_by_file(phone: Phone) -> None:
    phone.cut()
    visit = phone.open_visit()
    done = phone.finish_step(visit)

    text = phone.ask("fillfirst.exportUnsent().then(({ file }) => file.text())")

    entries = [json.loads(line) for line in text.splitlines()]
    assert [entry["kind"] for entry in entries] == ["visit-opened", "step-done"]
    assert entries[1]["payload"]["step"] == done
    phone.restore()


def test_what_leaves_by_file_comes_in_at_another_server_with_its_photos(phone: Phone, tmp_path: Path) -> None:
    phone.cut()
    visit = phone.open_visit()
    taken = phone.ask(TAKE_PHOTO, visit)
    text = phone.ask("fillfirst.exportUnsent().then(({ file }) => file.text())")
    phone.restore()

    (tmp_path / "phone.jsonl").write_text(text, encoding="utf-8")
    command = [sys.executable, "-m", "fillfirst", "import", str(tmp_path / "phone.jsonl")]
    done = subprocess.run(
        [*command, "--data", str(tmp_path / "new")],
        env=make_environment(),
        capture_output=True,
        text=True,
        check=False,
    )

    assert (done.stderr, done.returncode) == ("", 0)
    assert "2 entries and 1 photos are on the server now." in done.stdout
    sha256 = taken["payload"]["sha256"]
    assert (tmp_path / "new" / "photos" / sha256[:2] / sha256).read_bytes()[:2] == b"\xff\xd8"


TAKE_PHOTO = """
async (visit) => {
  const { canvas } = new OffscreenCanvas(8, 8).getContext("2d");
  const picture = await canvas.convertToBlob({ type: "image/jpeg" });
  return fillfirst.addPhoto(visit, fillfirst.visit(visit).visit.next, picture);
}
"""
RECORD_NOTES = """
async ([visit, count]) => {
  const step = fillfirst.visit(visit).visit.next;
  for (let made = 0; made < count; made++) {
    await fillfirst.record(visit, "step-done", { step, note: String(made) });
  }
}
"""
COUNT = "async (visit) => (await fillfirst.loadVisit(visit)).events.length"
READ_KIND = """
(kind) => new Promise((resolve) => {
  const opening = indexedDB.open("fillfirst");
  opening.onsuccess = () => {
    const reading = opening.result.transaction("events").objectStore("events").index("kind").getAll(kind);
    reading.onsuccess = () => {
      opening.result.close();
      resolve(reading.result.map(({ v, payload, extra }) => ({ v, payload, extra })));
    };
  };
})
"""


def count_log(server: Server, phone: Phone) -> int:
    """How many entries the server holds; one answer may bring a part of them only."""
    question: dict[str, Any] = {"epoch": None, "cursor": 0, "ack": 0, "client_now": 0, "device": "reader"}
    headers = {"content-type": "application/json", "origin": server.address}
    count = 0
    while True:
        body = json.dumps(question | {"events": []})
        answer = phone.context.request.post(f"{server.address}/api/sync", data=body, headers=headers).json()
        question |= {"epoch": answer["epoch"], "cursor": answer["cursor"]}
        count += len(answer["events"])
        if not answer["more"]:
            return count
