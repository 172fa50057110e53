"""Imports point one way: these tests read them, in both languages, and compare with the two maps below."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

TOP = Path(__file__).parent.parent
PACKAGE = TOP / "server" / "fillfirst"
WEBUI = TOP / "webui"

# What each part of the server may import from the others. `errors` and the version are open to all.
SERVER = {
    "errors": set(),
    "settings": set(),
    "quantities": set(),
    "formulas": {"quantities"},
    "specs": {"quantities", "formulas"},
    "visits": {"formulas", "specs"},
    "catalog": {"quantities", "formulas", "specs", "visits"},
    "cars": {"quantities", "formulas", "specs", "visits"},
    "store": set(),
    "sync": {"store", "visits"},
    "records": {"store", "catalog", "cars", "formulas", "specs", "visits"},
    "access": {"store", "settings"},
    "web": {"settings", "catalog", "store", "sync", "records", "access", "keeping", "specs", "visits"},
    "keeping": {"settings", "store", "sync", "records", "access", "visits"},
    "commands": {
        "settings",
        "cars",
        "catalog",
        "store",
        "sync",
        "records",
        "access",
        "specs",
        "visits",
        "keeping",
        "web",
    },
    "cli": {"commands"},
    "__main__": {"cli"},
}

# What each folder of the web client may import from the others; main.js joins them.
CLIENT = {
    "core": set(),
    "dom": set(),
    "device": set(),
    "storage": {"core"},
    "sync": {"core", "storage"},
    "app": {"core", "device", "storage", "sync"},
    "parts": {"core", "device", "dom", "app/words.js", "app/words", "app/types.js"},
    "screens": {"core", "device", "dom", "app", "parts"},
}

# What each folder of parts may run from the others: what all speak with first, a screen's own parts last.
PARTS = {
    "texts": set(),
    "controls": {"texts"},
    "drawings": {"texts"},
    "numbers": {"texts", "controls", "drawings"},
    "facts": {"texts", "controls", "drawings", "numbers"},
    "phone": {"texts", "controls", "drawings"},
    "house": {"texts", "controls", "drawings", "phone"},
    "due": {"texts", "controls", "drawings", "numbers", "house"},
    "garage": {"texts", "controls"},
    "plan": {"texts", "controls", "drawings", "numbers", "facts", "due"},
    "record": {"texts", "controls", "drawings", "facts"},
    "open": {"texts", "controls", "drawings", "facts"},
    "frame": {"texts", "controls", "drawings", "phone"},
    "step": {"texts", "controls", "drawings", "numbers", "facts", "record"},
}

# Pure parts may not wait, read a clock, a disk or a network.
PURE = ["quantities", "formulas", "visits"]
IMPURE_MODULES = {
    "asyncio",
    "time",
    "datetime",
    "os",
    "socket",
    "sqlite3",
    "aiosqlite",
    "httpx",
    "random",
    "secrets",
}
IMPURE_NAMES = re.compile(
    r"\b(fetch|indexedDB|localStorage|document|navigator|setTimeout|setInterval|Date\.now|Math\.random)\b"
    r"|(?<![.\w])window\b"  # a watch step has a window of its own: step.window
)
# Statements, the types that a comment imports, and `import("…")`.
IMPORT = re.compile(
    r"""^(?:import|export|\}|\s*/?\*+ @import)[^\n"']*\bfrom ["']([^"']+)["']"""
    r"""|^import ["']([^"']+)["']|\bimport\("([^"]+)"\)""",
    re.MULTILINE,
)


def part_of(path: Path, root: Path) -> str:
    return path.relative_to(root).parts[0].removesuffix(".py")


def python_imports(path: Path) -> set[str]:
    """The parts of the package that a module imports, by name."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            package = ["fillfirst", *path.relative_to(PACKAGE).parts[:-1]]
            base = package[: len(package) - node.level + 1] if node.level else []
            module = ".".join([*base, *([node.module] if node.module else [])])
            found |= {f"{module}.{alias.name}" for alias in node.names} if module == "fillfirst" else {module}
    return found


def server_modules() -> list[Path]:
    return sorted(
        path for path in PACKAGE.rglob("*.py") if path.name != "__init__.py" or path.parent != PACKAGE
    )


def client_modules() -> list[Path]:
    return sorted(path for folder in CLIENT for path in (WEBUI / folder).rglob("*.js"))


def identify(path: Path) -> str:
    return str(path.relative_to(TOP))


@pytest.mark.parametrize("path", server_modules(), ids=identify)
def test_server_imports_point_one_way(path: Path) -> None:
    part = part_of(path, PACKAGE)
    imported = {name.split(".")[1] for name in python_imports(path) if name.startswith("fillfirst.")}

    assert imported - {part, "errors", "__version__"} <= SERVER[part]


@pytest.mark.parametrize("path", server_modules(), ids=identify)
def test_only_quantities_imports_pint(path: Path) -> None:
    imported = {name.split(".")[0] for name in python_imports(path)}

    assert "pint" not in imported or part_of(path, PACKAGE) == "quantities"


@pytest.mark.parametrize("path", [p for p in server_modules() if part_of(p, PACKAGE) in PURE], ids=identify)
def test_pure_parts_of_the_server_import_no_clock_disk_or_network(path: Path) -> None:
    imported = {name.split(".")[0] for name in python_imports(path)}

    assert not imported & IMPURE_MODULES


@pytest.mark.parametrize("path", client_modules(), ids=identify)
def test_client_imports_point_one_way(path: Path) -> None:
    part = part_of(path, WEBUI)
    source = path.read_text()
    addresses = [address for found in IMPORT.findall(source) for address in found if address]
    targets = [(path.parent / address).resolve().relative_to(WEBUI.resolve()) for address in addresses]
    foreign = [str(target) for target in targets if target.parts[0] != part]

    assert all(address.startswith(".") and address.endswith(".js") for address in addresses)
    allowed = [t for t in foreign if any(t == name or t.startswith(f"{name}/") for name in CLIENT[part])]
    assert [t for t in foreign if t not in allowed] == []


@pytest.mark.parametrize("path", sorted((WEBUI / "core").rglob("*.js")), ids=identify)
def test_client_core_touches_no_clock_disk_or_network(path: Path) -> None:
    code = re.sub(r"/\*.*?\*/|//[^\n]*", "", path.read_text(), flags=re.DOTALL)

    assert IMPURE_NAMES.findall(code) == []


def test_fetch_is_called_only_in_the_sync_folder_of_the_client() -> None:
    callers = {
        part_of(path, WEBUI) for path in client_modules() if re.search(r"(?<![.\w])fetch\(", path.read_text())
    }

    assert callers <= {"sync"}


@pytest.mark.parametrize("path", sorted((WEBUI / "parts").rglob("*.js")), ids=identify)
def test_parts_import_one_way(path: Path) -> None:
    folder = path.relative_to(WEBUI / "parts").parts[0]
    # A type may be named from anywhere: it is gone when the page runs.
    run = [line for line in path.read_text().splitlines() if "@import" not in line]
    addresses = [address for found in IMPORT.findall("\n".join(run)) for address in found if address]
    targets = [
        (path.parent / address).resolve().relative_to((WEBUI / "parts").resolve())
        for address in addresses
        if "/parts/" in str((path.parent / address).resolve())
    ]

    assert {target.parts[0] for target in targets} - {folder} <= PARTS[folder]
