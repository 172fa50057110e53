"""Links rules: `$circuit` is written out for every circuit with the tag, `#tag` for all that carry it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from fillfirst.formulas import Tree
from fillfirst.specs.linked import Rule
from fillfirst.specs.linking.conditions import read_condition
from fillfirst.specs.linking.context import Context
from fillfirst.specs.linking.texts import check_plain
from fillfirst.specs.linking.variables import check_state
from fillfirst.specs.models.car import RuleEntry
from fillfirst.specs.names import PLACE, PLACE_VALUES, check_id
from fillfirst.specs.problems import Spot
from fillfirst.specs.shapes import Shapes

State = dict[str, list[str]]
_CIRCUIT = "$circuit"


def link_rules(context: Context, shapes: Shapes) -> list[Rule]:
    rules: list[Rule] = []
    for id, entry in shapes.rules.items():
        spot = context.report.at(shapes.singles["rules"], id)
        check_id(spot, id, "a rule")
        check_plain(spot.at("reason"), entry.reason)
        when = read_condition(context, spot.at("when"), entry.when)
        if not entry.while_ or not entry.must:
            spot.problem("a rule without while or must", "it says while what, what must be", "Add both.")
        for suffix, while_, must in _expand_circuits(context, spot, entry):
            rules.extend(_expand_tags(context, spot, _Draft(id + suffix, entry, when), while_, must))
    return rules


class _Draft:
    """What all the rules that come of one entry share."""

    def __init__(self, id: str, entry: RuleEntry, when: Tree | None) -> None:
        self._id, self._entry, self._when = id, entry, when

    def make(self, suffix: str, while_: State, must: State) -> Rule:
        return Rule(
            id=self._id + suffix,
            title=self._entry.title,
            reason=self._entry.reason,
            while_={id: tuple(values) for id, values in while_.items()},
            must={id: tuple(values) for id, values in must.items()},
            when=self._when,
            never=self._entry.never,
        )


def _expand_circuits(context: Context, spot: Spot, entry: RuleEntry) -> Iterator[tuple[str, State, State]]:
    tag = entry.for_circuits_tagged
    if tag is None:
        yield "", entry.while_, entry.must
        return
    tagged = [id for id in context.index.tagged(tag) if context.index.variables[id].kind == "circuit"]
    if not tagged:
        spot.at("for_circuits_tagged").unknown(tag, "a tag of a circuit", context.index.tags())
    for circuit in tagged:
        yield f":{circuit}", _name_circuit(entry.while_, circuit), _name_circuit(entry.must, circuit)


def _name_circuit(state: State, circuit: str) -> State:
    return {id.replace(_CIRCUIT, circuit): values for id, values in state.items()}


def _expand_tags(context: Context, spot: Spot, draft: _Draft, while_: State, must: State) -> Iterator[Rule]:
    """One rule for every way to choose a variable for each tag in `while`; in `must` all of them stand."""
    places = {PLACE: PLACE_VALUES}
    chosen = [_members(context, spot.at("while"), id) for id in while_]
    for ids in product(*chosen):
        state = dict(zip(ids, while_.values(), strict=True))
        demand = {
            each: values for id, values in must.items() for each in _members(context, spot.at("must"), id)
        }
        fine = [
            check_state(context, spot.at(key), part, places)
            for key, part in (("while", state), ("must", demand))
        ]
        if all(fine):
            picked = [each for id, each in zip(while_, ids, strict=True) if id.startswith("#")]
            yield draft.make("".join(f":{each}" for each in picked), state, demand)


def _members(context: Context, spot: Spot, id: str) -> list[str]:
    if not id.startswith("#"):
        return [id]
    members = context.index.tagged(id[1:])
    if not members:
        spot.at(id).unknown(id, "a tag that anything carries", {f"#{tag}" for tag in context.index.tags()})
    return members
