"""Whole documents of one small visit, kept as files and reviewed like screens: record, table, a page.

After a change that is meant, with PYTHONPATH=server:tests/server, `python test_golden_documents.py`
writes them anew.
"""

from __future__ import annotations

import json

import pytest
from played import MINI, TOP, Phone

from fillfirst.records.page import write_page
from fillfirst.records.table import write_table
from fillfirst.records.writing import write_record
from fillfirst.visits.events import read_event

DOCUMENTS = TOP / "tests" / "fixtures" / "documents"


def write_documents() -> dict[str, str]:
    """A visit with one step passed over, and everything that can follow it."""
    phone = Phone(catalog="0" * 64, jobs=["engine-oil"])
    phone.record("step-skipped", step="engine-oil/open-cap", reason="it was open already")
    phone.do_all(but=["engine-oil/open-cap"], values={"engine_oil_out": 0.004, "engine_oil_in": 0.0042})
    phone.record("closing-up", aim="to-stand", steps=[])
    phone.record("taken-up-again", by="Ben")
    phone.close()
    phone.record(
        "odometer-corrected", value=84_120_000, typed="84120", unit="km", because="digits swapped", by="Ada"
    )
    phone.record("fluid-noted", circuit="engine-oil", product="Demo oil", batch="L 7", label="1" * 64)
    phone.record(
        "used-fluid-taken",
        stream="used-oil",
        value=0.004,
        typed="4",
        unit="l",
        place="Town yard",
        receipt="2" * 64,
        by="Ada",
    )
    phone.record("charge-noted", what="Labour", amount=1.5, unit="h", price=60, currency="EUR")
    phone.record("charge-noted", what="=Oil", amount=5, unit="l", price=9.9, currency="EUR")
    phone.record("acknowledged", name="Mr Baker", signature="M120 300L240 80L360 300M400 200L400 200")
    record = write_record(MINI, [read_event(event) for event in phone.events], vin="1M8GDM9AXKP042788")
    assert record is not None
    return {
        "record.json": json.dumps(record.model_dump(mode="json"), indent=2, ensure_ascii=False) + "\n",
        "record.csv": write_table([record]).replace("\r\n", "\n"),
        "customer.html": write_page(record, style="/setup/plain.css").replace("><", ">\n<") + "\n",
    }


@pytest.mark.parametrize("name", ["record.json", "record.csv", "customer.html"])
def test_a_document_is_written_as_it_was_reviewed(name: str) -> None:
    assert write_documents()[name] == (DOCUMENTS / name).read_text()


if __name__ == "__main__":
    DOCUMENTS.mkdir(exist_ok=True)
    for name, text in write_documents().items():
        (DOCUMENTS / name).write_text(text)
