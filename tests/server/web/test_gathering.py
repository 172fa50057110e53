"""What the page is told of its modules, and its one style."""

from __future__ import annotations

from fillfirst.web.gathering import find_modules, join_styles, name_modules

FILES = {
    "main.js": b'import { a } from "./app/app.js";\nvoid import("./screens/cars.js");\n',
    "app/app.js": b"export {};\n",
    "screens/cars.js": (
        b'// import "./none.js";\n/** @import { X } from "./type.js" */\n'
        b'import { a } from "../app/app.js";\nimport {\n  b,\n} from "../parts/b.js";\n'
        b'export { c } from "./c.js";\nconst { d } = await import("./later.js");\n'
    ),
    "screens/c.js": b'import "../parts/b.js";\n',
    "parts/b.js": b"export const b = 1;\n",
}


def test_a_module_needs_what_it_imports_and_what_these_import() -> None:
    found = find_modules(["screens/cars.js"], FILES)

    assert found == ["screens/cars.js", "app/app.js", "parts/b.js", "screens/c.js"]


def test_the_page_names_the_modules_of_a_view_that_its_own_scripts_do_not_bring() -> None:
    page = '<meta name="modules-of-cars" content="screens/cars.js"><script async src="./main.js"></script>'

    assert name_modules(page, FILES) == page.replace(
        "screens/cars.js", "screens/cars.js parts/b.js screens/c.js"
    )


def test_an_imported_style_stands_in_its_layer_in_the_place_of_its_import() -> None:
    files = {
        "styles/index.css": (
            b"@layer reset, parts;\n"
            b'@import url("base.css");\n@import url("part.css") layer(parts);\n@import url("none.css");\n'
        ),
        "styles/base.css": b"@layer reset { a { b: c } }\n",
        "styles/part.css": b"d { e: f }\n",
    }

    assert join_styles("styles/index.css", files).decode() == (
        "@layer reset, parts;\n@layer reset { a { b: c } }\n\n"
        '@layer parts {\nd { e: f }\n}\n@import url("none.css");\n'
    )
