"""Closed visits, written out: one, or all of a car."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from fillfirst.records.record import Record, VehicleRecord
from fillfirst.web.answers import NO_STORE, json_answer
from fillfirst.web.endpoints import Answer, Content, Endpoint, Handler
from fillfirst.web.server import server_of

CSV = "text/csv"


async def give_record(request: Request) -> Response:
    return json_answer(await _find_record(request))


async def give_record_table(request: Request) -> Response:
    return _answer_table([await _find_record(request)])


async def give_vehicle_record(request: Request) -> Response:
    return json_answer(await _find_vehicle_record(request))


async def give_vehicle_table(request: Request) -> Response:
    return _answer_table((await _find_vehicle_record(request)).visits)


# What writes records brings all of specs along. It is imported when the first record is asked for,
# because a start of the server should not wait for it.


async def _find_record(request: Request) -> Record:
    from fillfirst.records.finding import find_record

    return await find_record(server_of(request).store, request.path_params["id"])


async def _find_vehicle_record(request: Request) -> VehicleRecord:
    from fillfirst.records.finding import find_vehicle_record

    return await find_vehicle_record(server_of(request).store, request.path_params["id"])


def _answer_table(records: list[Record]) -> Response:
    from fillfirst.records.table import write_table

    headers = NO_STORE | {"content-disposition": 'attachment; filename="record.csv"'}
    return Response(write_table(records), headers=headers, media_type=f"{CSV}; charset=utf-8")


def _endpoint(
    path: str, name: str, summary: str, handler: Handler, content: Content, *problems: int
) -> Endpoint:
    return Endpoint(
        "GET", path, name, summary, handler, (Answer(200, "It, written out.", (content,)),), problems=problems
    )


VISIT = "/api/visits/{id}/record"
VEHICLE = "/api/vehicles/{id}/record"
ONE = "The record of a closed visit, every figure worked out again from its readings."
ALL = "The records of a car's closed visits, oldest first."

ENDPOINTS = (
    _endpoint(VISIT, "record", ONE, give_record, Record, 404, 409),
    _endpoint(f"{VISIT}.json", "record_json", ONE, give_record, Record, 404, 409),
    _endpoint(f"{VISIT}.csv", "record_csv", ONE, give_record_table, CSV, 404, 409),
    _endpoint(VEHICLE, "vehicle_record", ALL, give_vehicle_record, VehicleRecord, 404, 409),
    _endpoint(f"{VEHICLE}.json", "vehicle_record_json", ALL, give_vehicle_record, VehicleRecord, 404, 409),
    _endpoint(f"{VEHICLE}.csv", "vehicle_record_csv", ALL, give_vehicle_table, CSV, 404, 409),
)
