"""Links steps: every name in them is looked up, and each kind of step has what it needs."""

from __future__ import annotations

from fillfirst.specs.linked import Amount, Back, Finding, Hold, Reading, Step, Window
from fillfirst.specs.linking.conditions import read_condition
from fillfirst.specs.linking.context import Context
from fillfirst.specs.linking.jobs import check_id_once
from fillfirst.specs.linking.texts import check_text
from fillfirst.specs.linking.variables import check_state
from fillfirst.specs.models.jobs import JobFile
from fillfirst.specs.models.steps import BackEntry, StepEntry
from fillfirst.specs.names import PLACE, check_id
from fillfirst.specs.problems import Spot
from fillfirst.specs.shapes import Shapes

# What a kind of step cannot do without: (keys of which it needs one, why).
_NEEDED: dict[str, list[tuple[tuple[str, ...], str]]] = {
    "measure": [(("readings",), "a measure step takes readings")],
    "tighten": [(("torque", "shows"), "a tighten step has a torque, or shows how far to turn")],
    "hold": [(("hold",), "a hold step says how long")],
    "cycle": [(("positions",), "a cycle step names its positions"), (("hold",), "and how long each is held")],
    "watch": [(("window",), "a watch step has a window"), (("readings",), "and takes its reading")],
    "inspect": [(("findings",), "an inspect step offers findings")],
}
# What only makes sense in some kinds of step.
_ONLY_IN = {
    "torque": ("tighten",),
    "positions": ("cycle",),
    "hold": ("hold", "cycle"),
    "window": ("watch",),
    "findings": ("inspect",),
}


def link_steps(context: Context, shapes: Shapes) -> dict[str, Step]:
    """Every step by "job/step", job by job in the order of the files."""
    return {
        f"{shaped.id}/{entry.id}": _link_step(
            context, context.report.at(shaped.document, "steps", at), shaped.id, shaped.model, entry
        )
        for shaped in shapes.jobs
        for at, entry in enumerate(shaped.model.steps)
    }


def link_readings(context: Context, shapes: Shapes) -> dict[str, Reading]:
    readings: dict[str, Reading] = {}
    for shaped in shapes.jobs:
        for at, step in enumerate(shaped.model.steps):
            for number, entry in enumerate(step.readings):
                spot = context.report.at(shaped.document, "steps", at, "readings", number)
                if not context.unit(spot.at("unit"), entry.unit):
                    continue
                low = context.amount(spot.at("from"), entry.from_, entry.unit)
                high = context.amount(spot.at("to"), entry.to, entry.unit)
                if low is None or high is None:
                    continue
                if not float(low.value) < float(high.value):
                    spot.problem(
                        "from is not below to", "a range runs from the least to the most", "Correct it."
                    )
                readings[entry.name] = Reading(
                    step=f"{shaped.id}/{step.id}",
                    label=entry.label,
                    unit=entry.unit,
                    from_=float(low.value),
                    to=float(high.value),
                    across=entry.across,
                )
    return readings


def _link_step(context: Context, spot: Spot, job: str, file: JobFile, entry: StepEntry) -> Step:
    _check_kind(spot, entry)
    _check_texts(context, spot, entry)
    _check_names(context, spot, entry)
    _check_state(context, spot, entry)
    if entry.serves is not None and not file.shared:
        spot.at("serves").problem(
            "a step of a job of its own serves",
            "only the steps of shared jobs do",
            "Remove serves, or share the job.",
        )
    if entry.standby and (entry.back is not None or entry.block is not None or entry.readings):
        spot.at("standby").problem(
            "a step on standby has back, block or readings",
            "it is there to close something, out of the order of the day",
            "Remove them, or make it a step of the day.",
        )
    return Step(
        id=f"{job}/{entry.id}",
        job=job,
        phase=entry.phase,
        kind=entry.kind,
        title=entry.title,
        says=entry.says,
        does=entry.does,
        why=entry.why,
        when=read_condition(context, spot.at("when"), entry.when),
        each=entry.each,
        block=entry.block,
        where=entry.where,
        needs={id: tuple(values) for id, values in entry.needs.items()},
        makes=entry.makes,
        hazards=tuple(entry.hazards),
        photo=entry.photo,
        work_s=_read_time(context, spot.at("work"), entry.work),
        wait_s=_read_time(context, spot.at("wait"), entry.wait),
        since=_read_since(context, spot.at("since"), entry),
        people=_read_people(spot.at("people"), entry.people),
        meanwhile=entry.meanwhile,
        serves=entry.serves,
        torque=entry.torque,
        shows=tuple(entry.shows),
        readings=tuple(reading.name for reading in entry.readings),
        judges=tuple(entry.judges),
        hold=_link_hold(context, spot.at("hold"), entry),
        positions=entry.positions,
        window=_link_window(context, spot.at("window"), entry),
        findings=_link_findings(context, spot, entry),
        back=_link_back(context, spot.at("back"), job, entry.back),
        standby=entry.standby,
    )


def _check_kind(spot: Spot, entry: StepEntry) -> None:
    for keys, reason in _NEEDED.get(entry.kind, []):
        if not any(getattr(entry, key) for key in keys):
            spot.problem(f"a {entry.kind} step without {' or '.join(keys)}", reason, f"Add {keys[0]} = …")
    for key, kinds in _ONLY_IN.items():
        if getattr(entry, key) and entry.kind not in kinds:
            expected = f"only in a step of kind {' or '.join(kinds)}"
            spot.at(key).problem(
                f"{key} stands in a step of kind {entry.kind}", expected, "Remove it, or change kind."
            )
    if entry.block is not None and entry.each is None:
        spot.at("block").problem(
            "block stands without each", "a block goes item by item", "Add each, or remove block."
        )


def _check_texts(context: Context, spot: Spot, entry: StepEntry) -> None:
    has_item = entry.each is not None
    for key in ("title", "says", "does", "why", "photo"):
        check_text(context, spot.at(key), getattr(entry, key), has_item)
    for at, finding in enumerate(entry.findings):
        check_text(context, spot.at("findings", at, "says"), finding.says, has_item)
    if entry.back is not None:
        check_text(context, spot.at("back", "says"), entry.back.says, has_item)


def _check_names(context: Context, spot: Spot, entry: StepEntry) -> None:
    context.known(spot.at("phase"), entry.phase, "a phase of specs/order.toml", context.index.phases)
    for hazard in entry.hazards:
        context.known(spot.at("hazards"), hazard, "a hazard of specs/hazards.toml", context.index.hazards)
    for key in ("each", "positions"):
        if getattr(entry, key) is not None:
            context.find(spot.at(key), getattr(entry, key), ("fact",), ("list",))
    if entry.torque is not None:
        context.amount_or_name(spot.at("torque"), entry.torque, "N*m")
    for name in entry.shows:
        context.find(spot.at("shows"), name)
    for name in entry.judges:
        known = context.find(spot.at("judges"), name, ("figure",))
        if known is not None and known.holds != "judgement":
            spot.at("judges").problem(
                f'the figure "{name}" is a {known.holds}',
                'only a formula whose result has kind = "judgement" can judge',
                "Judge with another figure, or show it instead.",
            )


def _check_state(context: Context, spot: Spot, entry: StepEntry) -> None:
    for key in ("needs", "makes"):
        if PLACE in getattr(entry, key):
            spot.at(key, PLACE).problem(
                "a step does not set the place", "where says it", 'Write where = "under".'
            )
    needs = {id: values for id, values in entry.needs.items() if id != PLACE}
    makes = {id: [value] for id, value in entry.makes.items() if id != PLACE}
    check_state(context, spot.at("needs"), needs)
    _check_makes(context, spot.at("makes"), makes, entry.each)
    if entry.back is not None:
        back = {id: [value] for id, value in entry.back.makes.items()}
        _check_makes(context, spot.at("back", "makes"), back, entry.each)


def _check_makes(context: Context, spot: Spot, makes: dict[str, list[str]], each: str | None) -> None:
    check_state(context, spot, makes)
    for id, values in makes.items():
        variable = context.index.variables.get(id)
        if variable is None:
            continue
        if variable.kind == "part" and values == ["fitted"]:
            spot.at(id).problem(
                'a step makes a part "fitted"',
                "fitted means untouched since the car came; a step can only fit a new one",
                f'Write "{id}" = "new".',
            )
        if variable.each is not None and each is not None and each != variable.each:
            spot.at(id).problem(
                f'"{id}" goes by "{variable.each}", the step by "{each}"',
                "a family is changed item by item by a step with the same each, or whole by one without",
                "Give the step the same each, or none.",
            )


def _read_time(context: Context, spot: Spot, text: str | None) -> float:
    fixed = context.amount(spot, text, "min") if text is not None else None
    return 0.0 if fixed is None else float(fixed.value)


def _read_since(context: Context, spot: Spot, entry: StepEntry) -> tuple[str, ...]:
    for variable in entry.since:
        context.known(spot, variable, "a variable", context.index.variables)
    if entry.since and entry.wait is None:
        spot.problem(
            "since stands without wait", "it says from when a wait counts", "Add wait, or remove it."
        )
    return tuple(entry.since)


def _read_people(spot: Spot, people: int) -> int:
    if people not in (1, 2):
        spot.problem(f"{people} people at one step", "one or two work at a step", "Correct the number.")
    return people


def _link_hold(context: Context, spot: Spot, entry: StepEntry) -> Hold | None:
    if entry.hold is None:
        return None
    found: dict[str, Amount | None] = {
        key: context.amount_or_name(spot.at(key), getattr(entry.hold, key), "min")
        for key in ("least", "most")
        if getattr(entry.hold, key) is not None
    }
    if not found:
        spot.problem("a hold without least or most", "it says how long", "Add one of them, or both.")
    return Hold(least=found.get("least"), most=found.get("most"))


def _link_window(context: Context, spot: Spot, entry: StepEntry) -> Window | None:
    if entry.window is None:
        return None
    readings = {reading.name: reading for reading in entry.readings}
    if not context.known(spot.at("reading"), entry.window.reading, "a reading of this step", readings):
        return None
    unit = readings[entry.window.reading].unit
    low = context.amount_or_name(spot.at("from"), entry.window.from_, unit)
    high = context.amount_or_name(spot.at("to"), entry.window.to, unit)
    every = context.amount(spot.at("every"), entry.window.every, "min")
    if low is None or high is None or every is None:
        return None
    return Window(reading=entry.window.reading, from_=low, to=high, every_s=float(every.value))


def _link_findings(context: Context, spot: Spot, entry: StepEntry) -> list[Finding]:
    check_id_once(spot, "findings", [each.id for each in entry.findings], "a finding")
    for at, each in enumerate(entry.findings):
        check_id(spot.at("findings", at, "id"), each.id, "a finding")
    if entry.findings and not any(each.good for each in entry.findings):
        spot.at("findings").problem(
            "no finding is good", "at least one lets the visit go on", "Add good = true to it."
        )
    return [Finding(**each.model_dump()) for each in entry.findings]


def _link_back(context: Context, spot: Spot, job: str, entry: BackEntry | None) -> Back | None:
    if entry is None:
        return None
    to = entry.to if "/" in entry.to else f"{job}/{entry.to}"
    context.known(spot.at("to"), to, "a step", context.index.steps)
    return Back(to=to, says=entry.says, makes=entry.makes)
