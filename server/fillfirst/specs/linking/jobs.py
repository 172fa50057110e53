"""Links jobs: what each renews and uses, when it is due, what to buy and to have at hand."""

from __future__ import annotations

from fillfirst.formulas import Tree
from fillfirst.specs.linked import (
    Amount,
    Equipment,
    Fixed,
    Interval,
    Job,
    Named,
    Recheck,
    Supply,
    Tool,
    Words,
)
from fillfirst.specs.linking.conditions import read_condition
from fillfirst.specs.linking.context import Context
from fillfirst.specs.linking.texts import check_text
from fillfirst.specs.models.jobs import (
    EquipmentEntry,
    IntervalEntry,
    JobFile,
    RecheckEntry,
    SupplyEntry,
    ToolEntry,
)
from fillfirst.specs.names import check_id, is_id, is_name
from fillfirst.specs.problems import Spot
from fillfirst.specs.shapes import Shapes


def link_jobs(context: Context, shapes: Shapes) -> dict[str, Job]:
    return {
        shaped.id: _link_job(context, context.report.at(shaped.document), shaped.model)
        for shaped in shapes.jobs
    }


def find_served(shapes: Shapes) -> dict[str, str]:
    """What the steps of shared jobs serve, with one step that does."""
    return {
        step.serves: f"{shaped.id}/{step.id}"
        for shaped in shapes.jobs
        if shaped.model.shared
        for step in shaped.model.steps
        if step.serves is not None
    }


def check_services(context: Context, shapes: Shapes) -> None:
    """Every key that a job uses is served by a shared step, and what is served is used."""
    served = find_served(shapes)
    used: set[str] = set()
    for shaped in shapes.jobs:
        for key in shaped.model.uses:
            used.add(key)
            context.known(
                context.report.at(shaped.document, "uses", key),
                key,
                "served by any shared step",
                served,
                f'Correct the key, or give the step of a shared job serves = "{key}".',
            )
    for key, step in served.items():
        if key not in used:
            context.index.steps[step].at("serves").problem(
                f'no job uses "{key}"',
                "the step would never be shown",
                "Add it to uses of a job, or leave serves out.",
            )


def _link_job(context: Context, spot: Spot, file: JobFile) -> Job:
    _check_renewals(context, spot, file)
    for key in ("title", "summary", "risk"):
        check_text(context, spot.at(key), getattr(file, key))
    check_id_once(spot, "supplies", [each.id for each in file.supplies], "a supply")
    return Job(
        title=file.title,
        summary=file.summary,
        order=file.order,
        shared=file.shared,
        when=read_condition(context, spot.at("when"), file.when, settings=False),
        renews=tuple(file.renews),
        uses=_link_uses(context, spot.at("uses"), file),
        risk=file.risk,
        reserved=_link_reserved(context, spot.at("reserved"), file),
        stream=file.stream,
        home=file.home,
        intervals=[
            _link_interval(context, spot.at("intervals", at), each) for at, each in enumerate(file.intervals)
        ],
        rechecks=[
            _link_recheck(context, spot.at("rechecks", at), each) for at, each in enumerate(file.rechecks)
        ],
        supplies=[
            _link_supply(context, spot.at("supplies", at), each) for at, each in enumerate(file.supplies)
        ],
        tools=[_link_tool(context, spot.at("tools", at), each) for at, each in enumerate(file.tools)],
        equipment=[
            _link_equipment(context, spot.at("equipment", at), each) for at, each in enumerate(file.equipment)
        ],
    )


def _check_renewals(context: Context, spot: Spot, file: JobFile) -> None:
    circuits = [id for id, variable in context.index.variables.items() if variable.kind == "circuit"]
    for circuit in file.renews:
        context.known(spot.at("renews"), circuit, "a circuit", circuits)
    if file.shared and file.renews:
        spot.at("renews").problem("a shared job renews nothing itself", "", "Move it to a job of its own.")
    if file.shared and file.uses:
        spot.at("uses").problem("a shared job uses nothing", "it is there for the others", "Remove it.")
    if not file.shared and not file.renews and file.home != "hand-over":
        spot.problem(
            "the job renews no circuit", "every job that is chosen renews one", 'Add renews = ["…"].'
        )
    if not file.steps:
        spot.problem("the job has no steps", "", "Add [[steps]].")


def _link_uses(context: Context, spot: Spot, file: JobFile) -> dict[str, Tree]:
    trees = {key: read_condition(context, spot.at(key), text) for key, text in file.uses.items()}
    return {key: tree for key, tree in trees.items() if tree is not None}


def _link_reserved(context: Context, spot: Spot, file: JobFile) -> dict[str, Tree]:
    for hazard in file.reserved:
        context.known(spot.at(hazard), hazard, "a hazard of specs/hazards.toml", context.index.hazards)
    trees = {
        hazard: read_condition(context, spot.at(hazard), text, settings=False)
        for hazard, text in file.reserved.items()
    }
    return {hazard: tree for hazard, tree in trees.items() if tree is not None}


def _link_interval(context: Context, spot: Spot, entry: IntervalEntry) -> Interval:
    if entry.distance is None and entry.time is None:
        spot.problem("an interval without distance or time", "", "Add one of them, or both.")
    return Interval(
        distance=_read(context, spot.at("distance"), entry.distance, "km"),
        time=_read(context, spot.at("time"), entry.time, "month"),
        authority=entry.authority,
        source=context.citation(spot.at("source"), entry.source),
    )


def _link_recheck(context: Context, spot: Spot, entry: RecheckEntry) -> Recheck:
    check_id(spot.at("id"), entry.id, "a re-check")
    check_text(context, spot.at("title"), entry.title)
    check_text(context, spot.at("says"), entry.says)
    context.known(spot.at("step"), entry.step, "a step", context.index.steps)
    if entry.distance is None and entry.time is None:
        spot.problem("a re-check without distance or time", "", "Add one of them, or both.")
    return Recheck(
        id=entry.id,
        title=entry.title,
        says=entry.says,
        step=entry.step,
        distance=_read(context, spot.at("distance"), entry.distance, "km"),
        time=_read(context, spot.at("time"), entry.time, "day"),
    )


def _read(context: Context, spot: Spot, text: str | None, unit: str) -> Amount | None:
    return None if text is None else context.amount_or_name(spot, text, unit)


def _link_supply(context: Context, spot: Spot, entry: SupplyEntry) -> Supply:
    check_id(spot.at("id"), entry.id, "a supply")
    check_text(context, spot.at("title"), entry.title)
    if entry.fluid is not None:
        context.known(spot.at("fluid"), entry.fluid, "a fluid of specs/fluids", context.index.fluids)
    for key in ("approval", "grade"):
        if getattr(entry, key) is not None:
            context.find(spot.at(key), getattr(entry, key), ("fact",), ("text", "choice"))
    if entry.number is not None:
        context.find(spot.at("number"), entry.number, ("fact",), ("text",))
    # A hyphen means an id; anything else is words for the counter: "filter with its seal".
    if entry.part is not None and is_id(entry.part) and "-" in entry.part:
        parts = [id for id, variable in context.index.variables.items() if variable.kind == "part"]
        context.known(spot.at("part"), entry.part, "a part", parts)
    packs = [_read_volume(context, spot.at("packs", at), each) for at, each in enumerate(entry.packs)]
    return Supply(
        id=entry.id,
        title=entry.title,
        fluid=entry.fluid,
        approval=entry.approval,
        grade=entry.grade,
        quantity=_read_volume(context, spot.at("quantity"), entry.quantity) if entry.quantity else None,
        packs=[each for each in packs if isinstance(each, Fixed)],
        part=entry.part,
        number=entry.number,
        count=_read_count(context, spot.at("count"), entry.count) if entry.count else None,
        when=read_condition(context, spot.at("when"), entry.when, loose=True),
    )


def _read_volume(context: Context, spot: Spot, text: str) -> Amount | None:
    """Fluids are bought by volume."""
    return context.amount_or_name(spot, text, "l")


def _read_count(context: Context, spot: Spot, text: str) -> Amount | None:
    """How many: a number, a name that holds one, or a list, one for each of its entries."""
    known = context.index.names.get(text)
    if known is not None and known.holds == "list":
        return Named(name=text)
    return context.amount_or_name(spot, text, "1")


def _link_tool(context: Context, spot: Spot, entry: ToolEntry) -> Tool:
    check_text(context, spot.at("title"), entry.title)
    size: Named | Words | None = None
    if entry.size is not None:
        # With an underscore it is meant as a name; "funnel" is a word.
        if entry.size in context.index.names or (is_name(entry.size) and "_" in entry.size):
            known = context.find(spot.at("size"), entry.size, ("fact", "figure"))
            size = Named(name=entry.size) if known else None
        else:
            size = Words(text=entry.size)
    when = read_condition(context, spot.at("when"), entry.when, loose=True)
    kept = _link_kept(context, spot.at("kept"), entry.kept)
    return Tool(title=entry.title, size=size, kept=kept, when=when)


def _link_equipment(context: Context, spot: Spot, entry: EquipmentEntry) -> Equipment:
    if entry.count < 1:
        spot.at("count").problem(f"count is {entry.count}", "one is the least", "Correct the count.")
    return Equipment(
        title=entry.title,
        why=entry.why,
        kept=_link_kept(context, spot.at("kept"), entry.kept),
        count=entry.count,
        when=read_condition(context, spot.at("when"), entry.when, loose=True),
    )


def _link_kept(context: Context, spot: Spot, kinds: list[str]) -> tuple[str, ...]:
    for kind in kinds:
        context.known(spot, kind, "a kind of specs/equipment.toml", context.index.equipment)
    return tuple(kinds)


def check_id_once(spot: Spot, key: str, ids: list[str], what: str) -> None:
    """Check that ids in one list differ."""
    for at, id in enumerate(ids):
        if id in ids[:at]:
            spot.at(key, at).problem(
                f'the id "{id}" is given twice', f"{what} has an id of its own", "Rename one."
            )
