"""The same entries through both folds, in any order and as often as they like to come."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Error
from visit_vectors import CATALOG, SPECS, as_events, differences, each, random_log, read

from fillfirst.errors import EventError
from fillfirst.visits.compose import compose
from fillfirst.visits.events import read_event
from fillfirst.visits.fold import fold
from fillfirst.visits.given import facts_in_force

VECTORS = read("fold.json")
SHOWN = [vector for vector in VECTORS if "shows" in vector]
REFUSED = [vector for vector in VECTORS if "error" in vector]
PLAIN = {"powertrain": "combustion", "gearbox": "manual", "has_undertray": False, "has_rear_drive": False}
#: A visit in which everything may happen: lists, a block, findings, readings and ways back.
BUSY = compose(SPECS, ["coolant", "brake-fluid"], {"powertrain": "combustion", "has_undertray": False})


def setting(vector: Any) -> Any:
    return compose(SPECS, vector.get("jobs", ["engine-oil"]), vector.get("facts", PLAIN))


def as_json(visit: Any) -> dict[str, Any]:
    """A folded visit as the phone has it; what is not said is said by neither."""
    whole = {
        name: visit[name].model_dump(exclude_none=True) if visit[name] else None
        for name in ("opened", "closed")
    }
    return {**visit, **whole}


def fold_on_server(composition: Any, events: list[Any]) -> dict[str, Any]:
    return as_json(fold(SPECS, composition, [read_event(event) for event in events]))


@each(SHOWN)
def test_server_folds_as_the_vector_shows(vector: Any) -> None:
    visit = fold_on_server(setting(vector), as_events(vector["events"]))

    assert differences(visit, vector["shows"]) == []


@each(SHOWN)
def test_phone_folds_to_the_last_word_as_the_server(vector: Any, core_page: Any) -> None:
    composition, events = setting(vector), as_events(vector["events"])

    visit = core_page.call("fold.js", "fold", CATALOG, composition, events)

    assert visit == fold_on_server(composition, events)


def test_phone_puts_facts_in_force_as_the_server(core_page: Any) -> None:
    opening: Any = {"facts": {"fuel": {"value": "petrol"}, "wheels": {"value": ["1"]}}, "settings": {"a": 1}}
    given: Any = {"wheels": {"value": ["2"]}, "new": {"value": False}}
    disputed: Any = [{"fact": "fuel", "events": ["e1", "e2"]}]

    on_phone = core_page.call(
        "fold.js", "factsInForce", opening, {"given": given, "disputed_facts": disputed}
    )

    assert on_phone == facts_in_force(opening, given, disputed) == {"wheels": ["2"], "a": 1, "new": False}


@each(REFUSED)
def test_server_refuses_bad_entries(vector: Any) -> None:
    with pytest.raises(EventError) as refusal:
        fold_on_server(setting(vector), as_events(vector["events"]))

    assert {"code": refusal.value.code, "message": str(refusal.value)} == vector["error"]


@each(REFUSED)
def test_phone_refuses_bad_entries(vector: Any, core_page: Any) -> None:
    with pytest.raises(Error) as refusal:
        core_page.call("fold.js", "fold", CATALOG, setting(vector), as_events(vector["events"]))

    assert f"EventError: {vector['error']['message']}" in str(refusal.value)


@pytest.mark.parametrize("share", range(4))
def test_server_and_phone_fold_random_logs_alike(share: int, core_page: Any) -> None:
    logs = [random_log(Random(100 * share + seed), BUSY["steps"], 60) for seed in range(40)]

    on_phone = core_page.call_all("fold.js", "fold", [[CATALOG, BUSY, log] for log in logs])

    assert on_phone == [fold_on_server(BUSY, log) for log in logs]


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**32), data=st.data())
def test_fold_does_not_depend_on_order_or_copies(seed: int, data: st.DataObject) -> None:
    log = random_log(Random(seed), BUSY["steps"], 40)
    delivered = data.draw(st.permutations(log + data.draw(st.lists(st.sampled_from(log), max_size=20))))

    assert fold_on_server(BUSY, delivered) == fold_on_server(BUSY, log)


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**32), data=st.data())
def test_fold_takes_the_copy_that_the_server_has_numbered(seed: int, data: st.DataObject) -> None:
    log = random_log(Random(seed), BUSY["steps"], 40)
    unnumbered = [{key: value for key, value in event.items() if key != "seq"} for event in log]
    delivered = data.draw(st.permutations(log + unnumbered))

    assert fold_on_server(BUSY, delivered) == fold_on_server(BUSY, log)


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**32))
def test_an_entry_and_its_undoing_leave_no_trace_but_the_undoing(seed: int) -> None:
    log = random_log(Random(seed), BUSY["steps"], 30)
    last = max(event["hlc"]["ms"] for event in log) + 1
    done = as_events(
        [
            {
                "id": "done",
                "device": "late",
                "hlc": {"ms": last, "c": 0},
                "kind": "step-done",
                "payload": {"step": "coolant/open-cap"},
            }
        ]
    )
    undone = as_events(
        [
            {
                "id": "undo",
                "device": "late",
                "n": 2,
                "hlc": {"ms": last, "c": 1},
                "kind": "undone",
                "payload": {"event": "done"},
            }
        ]
    )
    visit = fold_on_server(BUSY, log + done + undone)

    assert {**visit, "undone": []} == {**fold_on_server(BUSY, log), "undone": []}
