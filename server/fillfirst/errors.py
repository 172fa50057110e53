"""Every error that fillfirst raises, as one family.

It exists so that a caller can catch exactly what it can answer, and so that no message of a library
reaches a person: each of these says where, what was found, what was expected and what to do next.

FillfirstError
├── ExpressionError        a formula's text or tree is not in the language
│   └── KindError          its parts do not fit together: torque added to pressure, text times two
├── QuantityError          "25 N*m" cannot be read, or its unit is not known
├── SpecsError             everything that is wrong with some spec files (defined in specs.problems)
├── VisitError             a visit that cannot be composed: a job the catalog does not have
├── EventError             an entry of the log that cannot be believed, with a code
├── ProofError             specs that cannot be proved: a choice that is none, a layout nobody can have
├── UnprovedError          specs with which some visit goes wrong (defined in catalog.document)
├── CatalogError           bytes that are not the catalog they are said to be (likewise)
├── SettingsError          a flag, an environment variable or a folder the server cannot start with
├── StoreError             the database could not do it, so nothing of it was kept
│   └── StoreFullError     the disk is full
├── BackupError            a backup that cannot be made or is not to be believed, with a code
└── RequestError           what a browser asked for is refused, with a code it can act on
"""

from __future__ import annotations


class FillfirstError(Exception):
    """Anything that fillfirst itself found wrong."""


class ExpressionError(FillfirstError):
    """An expression, as text or as a tree, that is not in the language.

    `where` points into the expression, `found` and `expected` are phrases, `do` is a sentence or empty.
    """

    def __init__(self, where: str, found: str, expected: str, do: str = "") -> None:
        self.where = where
        self.found = found
        self.expected = expected
        self.do = do
        super().__init__(where, found, expected, do)

    def __str__(self) -> str:
        told = f"{self.where}: found {self.found}; expected {self.expected}."
        return f"{told} {self.do}".rstrip()


class KindError(ExpressionError):
    """An expression whose parts are of kinds that do not fit: dimensions, text, yes or no, lists.

    `found` says what the parts are in a whole clause, so the message is not prefixed with "found".
    """

    def __str__(self) -> str:
        told = f"{self.where}: {self.found}; {self.expected}."
        return f"{told} {self.do}".rstrip()


class QuantityError(FillfirstError):
    """A quantity such as "25 N*m" that cannot be read, or a unit that is not known."""

    def __init__(self, found: str, expected: str) -> None:
        self.found = found
        self.expected = expected
        super().__init__(found, expected)

    def __str__(self) -> str:
        return f"found {self.found}; expected {self.expected}."


class VisitError(FillfirstError):
    """A visit that cannot be composed."""


class EventError(FillfirstError):
    """An entry of the log that cannot be believed. `code` is stable; `message` is for a person."""

    def __init__(self, code: str, message: str) -> None:
        self.code = code
        self.message = message
        super().__init__(code, message)

    def __str__(self) -> str:
        return self.message


class ProofError(FillfirstError):
    """Specs that cannot be proved at all. `where` names the step, job, rule or fact."""

    def __init__(self, where: str, found: str, expected: str, do: str = "") -> None:
        self.where = where
        self.found = found
        self.expected = expected
        self.do = do
        super().__init__(where, found, expected, do)

    def __str__(self) -> str:
        return f"{self.where}: found {self.found}; expected {self.expected}. {self.do}".rstrip()


class SettingsError(FillfirstError):
    """A setting the server cannot start with. `where` names the flag, variable or folder."""

    def __init__(self, where: str, found: str, expected: str, do: str = "") -> None:
        self.where = where
        self.found = found
        self.expected = expected
        self.do = do
        super().__init__(where, found, expected, do)

    def __str__(self) -> str:
        return f"{self.where}: found {self.found}; expected {self.expected}. {self.do}".rstrip()


class StoreError(FillfirstError):
    """The database could not read or write; nothing of what was asked was kept."""

    def __init__(self, message: str, next: str) -> None:
        self.message = message
        self.next = next
        super().__init__(message, next)

    def __str__(self) -> str:
        return f"{self.message} {self.next}"


class StoreFullError(StoreError):
    """The server's disk is full."""


class BackupError(FillfirstError):
    """A backup that cannot be made, or one that is not to be believed. `code` is stable."""

    def __init__(self, code: str, message: str, next: str = "") -> None:
        self.code = code
        self.message = message
        self.next = next or BACKUP_NEXT.get(code, "")
        super().__init__(code, message, next)

    def __str__(self) -> str:
        return f"{self.message} {self.next}".rstrip()


# What to do about a backup that is not to be believed. Nothing of it was used.
BACKUP_NEXT = {
    "not_a_backup": "Name a file that fillfirst backup made.",
    "cut_short": "Copy it here again, or take another backup; nothing of this one was used.",
    "damaged": "Copy it here again, or take another backup; nothing of this one was used.",
    "wrong_passphrase": "Try again. Without the passphrase nobody can open it.",
    "passphrase_needed": "Name the file that holds it with --backup-passphrase-file.",
}


class RequestError(FillfirstError):
    """A request that is refused. `code` is stable; `message` and `next` are for a person."""

    def __init__(self, status: int, code: str, message: str, next: str) -> None:
        self.status = status
        self.code = code
        self.message = message
        self.next = next
        super().__init__(status, code, message, next)

    def __str__(self) -> str:
        return f"{self.message} {self.next}"
