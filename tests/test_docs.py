"""What exists is documented, and what is documented exists: every command, setting, code, key and promise.

The examples of the spec language are one more job, laid over small specs, loaded and proved. Counts and the
counterexample in DEVELOPERS.md are written by `python tests/test_docs.py --write` and compared here.
"""

from __future__ import annotations

import argparse
import ast
import re
import sys
import tomllib
import types
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from typing import Annotated, Any, Literal, Union, get_args, get_origin

import pytest
from pydantic import BaseModel

sys.path.append(str(Path(__file__).parent / "reference"))
from libraries import compute_checks
from published import KINDS, read_checks

from fillfirst import errors
from fillfirst.cli import _make_parser
from fillfirst.formulas import FUNCTIONS
from fillfirst.formulas.tree import ARITHMETIC, CALLABLE, COMPARISONS
from fillfirst.settings import PREFIX, Settings
from fillfirst.specs import Specs, link_files, load_files, render
from fillfirst.specs import names as variables
from fillfirst.specs.documents import FAMILIES, PATTERN_FAMILIES
from fillfirst.specs.files import SINGLE_FILES, read_folder
from fillfirst.specs.linked import Formula, FunctionFormula
from fillfirst.specs.models import base, car, facts, formulas, jobs, lists, steps
from fillfirst.specs.own import lay_own, load_own
from fillfirst.sync import messages
from fillfirst.sync.judgement import DEPTH_LIMIT
from fillfirst.visits.compose import compose
from fillfirst.visits.kinds import KINDS as ENTRY_KINDS
from fillfirst.visits.proof import Proof, prove
from fillfirst.web.app import ENDPOINTS, PLAIN
from fillfirst.web.endpoints import Door

TOP = Path(__file__).parent.parent
SERVER = TOP / "server" / "fillfirst"
SPECS = TOP / "specs"
MINI = TOP / "tests" / "fixtures" / "specs" / "mini"
PAGE = TOP / "DEVELOPERS.md"
PAGES = sorted(TOP.glob("*.md"))

DEVELOPERS = PAGE.read_text()
PROTOCOL = (SERVER / "sync" / "PROTOCOL.md").read_text()

#: The heading of the table of each shape of a spec file. A shape without one is told in its owner's table.
SHAPES: dict[str, type[BaseModel]] = {
    "source": base.CitationEntry,
    "specs/facts/GROUP.toml": facts.FactsFile,
    "[facts.NAME]": facts.FactEntry,
    "specs/circuits/ID.toml": car.CircuitFile,
    "specs/car.toml": car.CarFile,
    "[closures.ID]": car.ClosureEntry,
    "[parts.ID]": car.PartEntry,
    "[conditions.ID]": car.ConditionEntry,
    "specs/rules.toml, [ID]": car.RuleEntry,
    "specs/hazards.toml, [ID]": lists.HazardEntry,
    "specs/equipment.toml, [ID]": lists.KeptEntry,
    "specs/fluids/ID.toml": lists.FluidFile,
    "specs/sources/ID.toml": lists.SourceFile,
    "specs/units.toml, [UNIT]": lists.UnitEntry,
    "specs/order.toml": lists.OrderFile,
    "specs/tables/ID.toml": formulas.TableFile,
    "specs/formulas/ID.toml": formulas.FormulaFile,
    "[inputs.NAME]": formulas.InputEntry,
    "[constants.NAME]": formulas.ConstantEntry,
    "[result]": formulas.ResultEntry,
    "[[examples]]": formulas.ExampleEntry,
    "specs/jobs/ID.toml": jobs.JobFile,
    "[[intervals]]": jobs.IntervalEntry,
    "[[rechecks]]": jobs.RecheckEntry,
    "[figures.NAME]": jobs.FigureEntry,
    "[[supplies]]": jobs.SupplyEntry,
    "[[tools]]": jobs.ToolEntry,
    "[[equipment]]": jobs.EquipmentEntry,
    "[[steps]]": steps.StepEntry,
    "specs/vehicles/ID.toml": facts.VehicleFile,
    "a sheet": facts.SheetFile,
}

#: The fault of the counterexample that is shown: the step no longer says that it makes the fluid full.
FAULT = ("jobs/power-steering.toml", 'makes = { power-steering-reservoir-cap = "closed" }', "makes = {}")


# Reading a page -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Table:
    """One table of a page: the words of its first heading, and its rows, cell by cell."""

    heading: str
    rows: list[list[str]]

    def row_of(self, word: str) -> str:
        """The row whose first cell names this word, without that cell."""
        return next((" ".join(row[1:]) for row in self.rows if word in spans(row[0])), "")

    def named(self) -> list[str]:
        """Everything that the first cells name."""
        return [word for row in self.rows for word in spans(row[0])]


@dataclass(frozen=True)
class Block:
    """What stands between two fences: the language, what it is said to be, and its text."""

    language: str
    title: str
    text: str


def spans(text: str) -> list[str]:
    """The words written as code."""
    return re.findall(r"`([^`]+)`", text)


def read_tables(text: str) -> list[Table]:
    found = re.findall(r"^(\|.*\|)\n\| ---.*\n((?:\|.*\|\n)*)", text, re.MULTILINE)
    return [
        Table(split_row(head)[0].replace("`", ""), [split_row(row) for row in rows.splitlines()])
        for head, rows in found
    ]


def split_row(row: str) -> list[str]:
    return [cell.strip() for cell in row.strip("|").split("|")]


def read_blocks(text: str) -> list[Block]:
    found = re.findall(r"^```(\w*) ?([^\n]*)\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)
    return [Block(*parts) for parts in found]


def read_section(text: str, title: str) -> str:
    """What stands under a heading, until the next of its kind."""
    level = re.search(rf"^(#+) {re.escape(title)}$", text, re.MULTILINE)
    assert level is not None, f'there is no heading "{title}"'
    rest = text[level.end() :]
    following = re.search(rf"^#{{1,{len(level[1])}}} ", rest, re.MULTILINE)
    return rest[: following.start()] if following else rest


def table(heading: str) -> Table:
    return next((each for each in read_tables(DEVELOPERS) if each.heading == heading), Table(heading, []))


# Commands and settings ------------------------------------------------------------------------------

COMMANDS: dict[str, argparse.ArgumentParser] = next(
    dict(action.choices)
    for action in _make_parser()._actions
    if isinstance(action, argparse._SubParsersAction)
)
SETTINGS_SECTION = read_section(DEVELOPERS, "Settings and commands")
SETTINGS_TABLE = table("flag")


def flags_of(parser: argparse.ArgumentParser) -> dict[str, str]:
    """The flags of a command, and what each gives."""
    return {
        flag: action.dest
        for action in parser._actions
        for flag in action.option_strings
        if flag.startswith("--") and flag not in ("--help", "--version")
    }


SETTINGS = {field.name for field in fields(Settings)}
FLAGS = [(name, *flag) for name, parser in COMMANDS.items() for flag in flags_of(parser).items()]
#: Most flags are settings, which have a variable too; the others belong to one command.
SETTING_FLAGS = {flag: setting for _, flag, setting in FLAGS if setting in SETTINGS}
OWN_FLAGS = [(command, flag) for command, flag, setting in FLAGS if setting not in SETTINGS]


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_is_listed_with_all_its_flags(command: str) -> None:
    line = re.search(rf"^fillfirst {command} .*$", SETTINGS_SECTION, re.MULTILINE)

    assert line is not None
    assert re.findall(r"--[\w-]+", line[0]) == list(flags_of(COMMANDS[command]))


def test_no_command_is_listed_that_there_is_not() -> None:
    assert re.findall(r"^fillfirst (\w+)", SETTINGS_SECTION, re.MULTILINE) == list(COMMANDS)


def test_the_version_can_be_asked_for_as_the_page_says() -> None:
    assert "fillfirst --version\n" in SETTINGS_SECTION


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_says_what_it_does(command: str) -> None:
    assert table("command").row_of(command) != ""


@pytest.mark.parametrize(("command", "flag"), OWN_FLAGS)
def test_a_flag_that_is_no_setting_is_told_with_its_command(command: str, flag: str) -> None:
    assert f"`{flag}" in table("command").row_of(command)


@pytest.mark.parametrize("flag", SETTING_FLAGS)
def test_a_setting_stands_beside_its_environment_variable(flag: str) -> None:
    assert f"{PREFIX}{SETTING_FLAGS[flag].upper()}" in spans(SETTINGS_TABLE.row_of(flag))


def test_every_setting_has_a_flag() -> None:
    assert set(SETTING_FLAGS.values()) == SETTINGS


def test_no_flag_is_documented_that_there_is_not() -> None:
    assert set(SETTINGS_TABLE.named()) == set(SETTING_FLAGS)


def find_variables() -> set[str]:
    """Every environment variable that the server's modules read by name."""
    sources = [path.read_text() for path in SERVER.rglob("*.py")]
    return {name for source in sources for name in re.findall(r"environ(?:\.get\(|\[)\"(\w+)\"", source)}


@pytest.mark.parametrize("name", sorted(find_variables()))
def test_an_environment_variable_of_others_is_documented(name: str) -> None:
    assert f"`{name}`" in SETTINGS_SECTION


# Errors and codes -----------------------------------------------------------------------------------

CODES_SECTION = read_section(DEVELOPERS, "Errors and codes")
#: Those who make a refusal, and those that are handed a code to make one.
REFUSERS = ("RequestError", "EventError", "problem_answer", "_refuse", "_check_fields")


def is_code(text: object) -> bool:
    return isinstance(text, str) and re.fullmatch(r"[a-z]+(_[a-z]+)*", text) is not None


def find_codes() -> Iterator[str]:
    """Every code that the server's modules give, as written there."""
    for path in sorted(SERVER.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in REFUSERS:
                constants = [each.value for each in node.args[:2] if isinstance(each, ast.Constant)]
                yield from (str(value) for value in constants if is_code(value))


CODES = sorted({*find_codes(), *get_args(messages.Code), *(code for code, *_ in PLAIN.values())})


def test_codes_are_found_where_they_are_given() -> None:
    assert {"not_let_in", "server_fault", "server_full", "not_json", "bad_event", "not_found"} <= set(CODES)


@pytest.mark.parametrize("code", CODES)
def test_a_code_is_documented(code: str) -> None:
    assert f"`{code}`" in PROTOCOL + CODES_SECTION


def test_no_code_is_documented_that_is_never_given() -> None:
    documented = {code for row in table("status").rows for code in spans(row[1])}

    assert documented - set(CODES) == set()


def find_errors() -> set[str]:
    """Every error of the package that another module may meet."""
    sources = [path.read_text() for path in SERVER.rglob("*.py")]
    return {
        name for source in sources for name in re.findall(r"^class ([A-Z]\w*Error)\b", source, re.MULTILINE)
    }


@pytest.mark.parametrize("name", sorted(find_errors()))
def test_an_error_is_drawn_in_the_tree_or_named_on_the_page(name: str) -> None:
    assert name in re.findall(r"\w+", errors.__doc__ or "") + spans(CODES_SECTION)


# The protocol ---------------------------------------------------------------------------------------

PROTOCOL_TABLES = {
    heading: read_tables(read_section(PROTOCOL, heading)) for heading in ("An event", "A round")
}


@pytest.mark.parametrize(
    ("heading", "at", "shape"),
    [
        ("An event", 0, messages.Envelope),
        ("A round", 0, messages.SyncRequest),
        ("A round", 1, messages.SyncAnswer),
    ],
)
def test_the_protocol_says_every_key(heading: str, at: int, shape: type[BaseModel]) -> None:
    assert set(PROTOCOL_TABLES[heading][at].named()) == set(shape.model_fields)


@pytest.mark.parametrize(
    "words",
    [
        f"at most {messages.EVENTS_LIMIT:,}, each at most {messages.EVENT_LIMIT_BYTES // 1024} KiB,"
        f" together at most {messages.ROUND_LIMIT_BYTES // 1024**2} MiB",
        f"nested more than {DEPTH_LIMIT} deep",
        f"it has more than {messages.EVENT_LIMIT_BYTES // 1024} KiB",
    ],
)
def test_the_protocol_says_every_limit(words: str) -> None:
    assert words in PROTOCOL


@pytest.mark.parametrize("kind", ENTRY_KINDS)
def test_the_protocol_says_what_each_kind_of_entry_carries(kind: str) -> None:
    tables = read_tables(read_section(PROTOCOL, "What an entry says"))
    told = " ".join(each.row_of(kind) for each in tables)
    keys = {"title", "plate", "note", "vin", "market", "by"} if kind == "car-described" else set()

    assert set(ENTRY_KINDS[kind]) - keys <= set(spans(told))


# The spec language ----------------------------------------------------------------------------------

LANGUAGE = read_section(DEVELOPERS, "The spec language")


@dataclass(frozen=True)
class Key:
    """One key of a shape: whether it must be there, and the only values that it may have, if any."""

    name: str
    is_required: bool
    choices: tuple[str, ...]


def keys_of(shape: type[BaseModel]) -> Iterator[Key]:
    """The keys of a shape, with those of shapes that have no table of their own behind a full stop."""
    for name, field in shape.model_fields.items():
        key = field.alias or name
        kinds = list(find_kinds(field.annotation))
        choices = tuple(kind for kind in kinds if isinstance(kind, str))
        yield Key(key, field.is_required(), choices)
        for kind in kinds:
            if isinstance(kind, type) and issubclass(kind, base.Written) and kind not in SHAPES.values():
                for inner in keys_of(kind):
                    yield Key(f"{key}.{inner.name}", inner.is_required, inner.choices)


def find_kinds(annotation: Any) -> Iterator[Any]:
    """The models inside a type, and the words of a literal."""
    origin = get_origin(annotation)
    if origin is Literal:
        yield from get_args(annotation)
    elif origin is Annotated:
        yield from find_kinds(get_args(annotation)[0])
    elif origin in (Union, types.UnionType, list, dict):
        for part in get_args(annotation):
            yield from find_kinds(part)
    else:
        yield annotation


def find_shapes(parent: type[BaseModel] = base.Written) -> Iterator[type[BaseModel]]:
    for child in parent.__subclasses__():
        yield child
        yield from find_shapes(child)


def find_inner(shape: type[BaseModel]) -> Iterator[type[BaseModel]]:
    """The shapes that are told inside the table of this one."""
    for field in shape.model_fields.values():
        for kind in find_kinds(field.annotation):
            if isinstance(kind, type) and issubclass(kind, base.Written) and kind not in SHAPES.values():
                yield kind
                yield from find_inner(kind)


def test_every_shape_of_a_spec_file_is_in_some_table() -> None:
    told = {*SHAPES.values(), *(inner for shape in SHAPES.values() for inner in find_inner(shape))}

    assert {shape.__name__ for shape in find_shapes()} - {shape.__name__ for shape in told} == set()


@pytest.mark.parametrize("heading", SHAPES)
def test_a_table_has_the_keys_of_its_shape(heading: str) -> None:
    assert sorted(table(heading).named()) == sorted(key.name for key in keys_of(SHAPES[heading]))


@pytest.mark.parametrize("heading", SHAPES)
def test_the_keys_in_bold_are_those_that_must_be_there(heading: str) -> None:
    bold = [key for row in table(heading).rows for key in re.findall(r"\*\*`([^`]+)`\*\*", row[0])]

    assert sorted(bold) == sorted(key.name for key in keys_of(SHAPES[heading]) if key.is_required)


@pytest.mark.parametrize(
    ("heading", "key"),
    [(heading, key) for heading, shape in SHAPES.items() for key in keys_of(shape) if key.choices],
    ids=lambda given: given.name if isinstance(given, Key) else given,
)
def test_a_key_that_has_choices_names_them_all(heading: str, key: Key) -> None:
    assert set(key.choices) <= set(spans(table(heading).row_of(key.name)))


@pytest.mark.parametrize(("key", "length"), [("title", steps.TITLE_LENGTH), ("does", steps.DOES_LENGTH)])
def test_the_lengths_that_fit_the_screen_are_told(key: str, length: int) -> None:
    assert f"at most {length} characters" in table("[[steps]]").row_of(key)


@pytest.mark.parametrize("kind", next(key.choices for key in keys_of(steps.StepEntry) if key.name == "kind"))
def test_a_kind_of_step_says_what_it_is(kind: str) -> None:
    assert table("kind").row_of(kind) != ""


@pytest.mark.parametrize("operator", [*ARITHMETIC, *COMPARISONS, *CALLABLE])
def test_an_operator_of_the_language_is_told(operator: str) -> None:
    told = " ".join(
        word for row in read_tables(read_section(LANGUAGE, "Expressions"))[0].rows for word in spans(row[1])
    )

    assert operator in re.findall(r"\w+|[^\w\s(),'\[\]]+", told)


@pytest.mark.parametrize(
    ("variable", "values"),
    [
        ("circuit", variables.CIRCUIT_VALUES),
        ("ID.fluid", variables.FLUID_VALUES),
        ("closure", variables.CLOSURE_VALUES),
        ("part", variables.PART_VALUES),
        (variables.PLACE, variables.PLACE_VALUES),
    ],
)
def test_a_variable_is_told_with_its_values_in_order(variable: str, values: tuple[str, ...]) -> None:
    row = next(row for row in table("variable").rows if variable in row[0].replace("`", ""))

    assert tuple(spans(row[1])) == values


@pytest.mark.parametrize(
    "family", [*FAMILIES, *SINGLE_FILES, *(f"patterns/{name}" for name in PATTERN_FAMILIES)]
)
def test_a_place_for_specs_is_named(family: str) -> None:
    assert f"specs/{family.partition('/')[0]}" in LANGUAGE


# The examples ---------------------------------------------------------------------------------------

EXAMPLES = [block for block in read_blocks(LANGUAGE) if block.language == "toml"]


def test_every_function_is_told_and_no_other() -> None:
    assert table("function").named() == list(FUNCTIONS)


def lay_examples() -> dict[str, bytes]:
    """The small specs with the examples of the page laid over them."""
    files = read_folder(MINI)
    for block in EXAMPLES:
        path, content = block.title.removeprefix("specs/"), block.text.encode()
        files[path] = files[path] + b"\n" + content if path in SINGLE_FILES else content
    return files


@pytest.mark.parametrize("block", EXAMPLES, ids=lambda block: block.title)
def test_an_example_is_toml(block: Block) -> None:
    assert tomllib.loads(block.text)


@pytest.mark.parametrize("family", [*FAMILIES, *SINGLE_FILES, "patterns"])
def test_there_is_an_example_of_each_kind_of_file(family: str) -> None:
    assert [block.title for block in EXAMPLES if block.title.removeprefix("specs/").startswith(family)] != []


def test_the_examples_load_over_the_small_specs() -> None:
    _, problems = link_files(lay_examples())

    assert render(problems) == ""


def test_every_visit_with_the_examples_is_proved() -> None:
    proof = prove(load_files(lay_examples()))

    assert str(proof) == proof.summary


# The lesson -----------------------------------------------------------------------------------------

LESSON = [block for block in read_blocks(read_section(DEVELOPERS, "Own jobs")) if block.title or block.text]


def write_lesson(folder: Path, *, is_whole: bool) -> Path:
    """The folder as a newcomer has it before the last step of the lesson, or after it."""
    for block in LESSON:
        path, _, is_added = block.title.partition(", ")
        if block.language == "toml" and (is_whole or not is_added):
            file = folder / path
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text((file.read_text() + "\n" if is_added else "") + block.text)
    return folder / "own"


def test_the_lesson_goes_wrong_where_it_says(tmp_path: Path) -> None:
    own = write_lesson(tmp_path, is_whole=False)

    proof = prove(load_own(lay_own(SPECS, own)))

    assert [str(each) + "\n" for each in proof.counterexamples] == [
        block.text for block in LESSON if block.language == ""
    ]


def test_the_lesson_ends_with_every_visit_proved(tmp_path: Path) -> None:
    own = write_lesson(tmp_path, is_whole=True)

    assert prove(load_own(lay_own(SPECS, own))).is_proved


# What is written by this file -----------------------------------------------------------------------


@cache
def load_shipped() -> Specs:
    return load_files(read_folder(SPECS))


def write_figures(specs: Specs, proof: Proof) -> str:
    """The counts of the specs as they are."""
    chosen = [job for job in specs.jobs.values() if not job.shared]
    examples = sum(len(formula.examples) for formula in specs.formulas.values())
    shared = [job for job in specs.jobs.values() if job.shared]
    rows = {
        "visits proved": f"{proof.visit_count:,}",
        "jobs to choose from, with those that are shared": f"{len(chosen)} and {len(shared)}",
        "layout facts that tell visits apart": proof.fact_count,
        "steps in the one order": len(specs.steps),
        "rules, written out for every tag and circuit": len(specs.rules),
        "variables, a family counted once": len(specs.variables),
        "facts that may be known": len(specs.facts),
        "formulas, and worked examples of them": f"{len(specs.formulas)} and {examples}",
        "files": len(read_folder(SPECS)),
        **{f"steps when every job is done on the {car_id}": count for car_id, count in count_steps(specs)},
    }
    told = "\n".join(f"| {name} | {count} |" for name, count in rows.items())
    return f"| the specs that travel with fillfirst | |\n| --- | ---: |\n{told}\n"


def count_steps(specs: Specs) -> Iterator[tuple[str, int]]:
    """How many steps a whole day has on each demo car."""
    for id, vehicle in specs.vehicles.items():
        known = {name: fact.value for name, fact in vehicle.facts.items()}
        every_job = [id for id, job in specs.jobs.items() if not job.shared]
        yield f"`{id}`", len(compose(specs, every_job, known)["steps"])


def write_counterexample() -> str:
    """The first thing that the proof finds in specs with one deliberate fault."""
    path, old, new = FAULT
    files = read_folder(SPECS)
    text = files[path].decode()
    assert text.count(old) == 1, f"{path} no longer has this once: {old}"
    proof = prove(load_files({**files, path: text.replace(old, new).encode()}), limit=1)
    return f"```\n{proof.counterexamples[0]}\n```\n"


def write_shipped_figures() -> str:
    proof = prove(load_shipped())
    assert proof.is_proved, str(proof)
    return write_figures(load_shipped(), proof)


#: Who may ask, column by column, and what each is answered; a status is a refusal.
VISITORS = ("no cookie", "sent away", "helper", "owner", "holder of a link")
DOORS: dict[Door, tuple[str, ...]] = {
    "anyone": ("yes", "yes", "yes", "yes", "yes"),
    "helper": ("401", "401", "yes", "yes", "401"),
    "owner": ("401", "401", "403", "yes", "401"),
    "link": ("404", "404", "404", "404", "yes"),
}


def write_doors() -> str:
    """Every address, and to whom it answers."""
    rows = [
        f"| `{endpoint.method} {endpoint.path}` | {' | '.join(DOORS[endpoint.opens_to])} |"
        for endpoint in sorted(ENDPOINTS, key=lambda endpoint: (endpoint.path, endpoint.method))
    ]
    line = "| --- " * (len(VISITORS) + 1)
    return f"| address | {' | '.join(VISITORS)} |\n{line}|\n" + "\n".join(rows) + "\n"


def write_formulas() -> str:
    """Every formula and function with its sources, and how many values from outside check it, by kind."""
    specs = load_shipped()
    checks = Counter((check.formula, check.kind) for check in (*read_checks(), *compute_checks()))
    rows = []
    for id, formula in sorted({**specs.formulas, **specs.functions}.items()):
        counts = [checks[id, kind] for kind in KINDS]
        cells = [
            f"`{id}`",
            ", ".join(find_sources(formula)),
            *(str(count or "") for count in counts),
            sum(counts),
        ]
        rows.append(f"| {' | '.join(map(str, cells))} |\n")
    heads = ["formula", "rests on", *KINDS, "in all"]
    rule = ["---", "---", *(["---:"] * (len(KINDS) + 1))]
    return f"| {' | '.join(heads)} |\n| {' | '.join(rule)} |\n{''.join(rows)}"


def find_sources(formula: Formula | FunctionFormula) -> list[str]:
    """The documents that a formula and its constants name, its own first."""
    constants = [each.source for each in formula.constants.values() if each.source is not None]
    return list(dict.fromkeys(source.document for source in (formula.source, *constants)))


#: What stands between <!-- NAME:begin --> and <!-- NAME:end -->.
WRITTEN = {
    "figures": write_shipped_figures,
    "counterexample": write_counterexample,
    "formulas": write_formulas,
    "doors": write_doors,
}


def find_written(name: str) -> re.Match[str]:
    found = re.search(rf"<!-- {name}:begin -->\n(.*?)<!-- {name}:end -->", PAGE.read_text(), re.DOTALL)
    assert found is not None, f"{PAGE.name} has no place for {name}"
    return found


@pytest.mark.parametrize("name", WRITTEN)
def test_what_is_counted_is_as_it_is_now(name: str) -> None:
    assert find_written(name)[1] == WRITTEN[name](), "Run: python tests/test_docs.py --write"


def write_page() -> None:
    """Write the counts and the counterexample into the page."""
    for name, write in WRITTEN.items():
        found = find_written(name)
        PAGE.write_text(f"{found.string[: found.start(1)]}{write()}{found.string[found.end(1) :]}")


# Paths, links and promises --------------------------------------------------------------------------

#: Where a path on a page may begin: the top, or a folder that the page speaks of.
ROOTS = (TOP, SERVER, TOP / "webui")
PROMISES = [name for row in table("promise").rows for name in spans(row[1])]


def find_paths(page: Path) -> list[str]:
    """Everything in a page's own words that is written like a path; what is generated is left out."""
    text = re.sub(r"<!-- (\w+):begin -->.*?<!-- \1:end -->", "", page.read_text(), flags=re.DOTALL)
    prose = re.sub(r"^```.*?^```$", "", text, flags=re.MULTILINE | re.DOTALL)
    blocks = " ".join(block.text for block in read_blocks(text) if block.language == "")
    in_prose = [
        word.partition("::")[0] for word in spans(prose) if re.fullmatch(r"\.?\w[\w./*-]*(::\w+)?", word)
    ]
    in_blocks = re.findall(r"(?<![\w./-])(?:server|tests|specs|webui|\.ci)/[\w./*-]*", blocks)
    linked = [target.partition("#")[0] for target in re.findall(r"\]\(([^)\s]+)\)", text)]
    written = [word for word in [*in_prose, *in_blocks] if "/" in word or word.endswith((".py", ".md"))]
    paths = {word for word in [*written, *linked] if word and not word.startswith("http")}
    # A name in capitals stands for any; what is made, as .venv is, need not be there.
    is_made = re.compile(r"/[A-Z]+\.toml|^\.(?!ci/)")
    return sorted(path for path in paths if not is_made.search(path))


@pytest.mark.parametrize(
    ("page", "path"),
    [(page, path) for page in PAGES for path in find_paths(page)],
    ids=lambda given: str(getattr(given, "name", given)),
)
def test_a_path_that_is_named_is_there(page: Path, path: str) -> None:
    assert any((root / path).exists() or ("*" in path and any(root.glob(path))) for root in ROOTS)


def anchors_of(page: Path) -> set[str]:
    titles = re.findall(r"^#+ (.+)$", page.read_text(), re.MULTILINE)
    return {re.sub(r"[^\w -]", "", title.lower()).replace(" ", "-") for title in titles}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_a_link_within_a_page_leads_somewhere(page: Path) -> None:
    linked = re.findall(r"\]\(#([^)]+)\)", page.read_text())

    assert set(linked) - anchors_of(page) == set()


@pytest.mark.parametrize("name", PROMISES)
def test_a_promise_has_its_test(name: str) -> None:
    path, _, test = name.partition("::")
    functions = [
        node.name
        for node in ast.walk(ast.parse((TOP / path).read_text()))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    ]

    assert test in functions


def test_every_promise_names_a_test() -> None:
    assert [row[0] for row in table("promise").rows if not spans(row[1])] == []


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        sys.exit("Usage: python tests/test_docs.py --write")
    write_page()
