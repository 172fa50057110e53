"""The catalog: linked specs as one canonical JSON document, named by the hash of its bytes.

A visit keeps the catalog it began with by that name, so equal specs must always give equal bytes: keys
are sorted, and nothing in it depends on when or where it was built.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

import orjson
from pydantic import ValidationError

from fillfirst.errors import FillfirstError
from fillfirst.specs import Specs
from fillfirst.visits.proof import Proof, prove

#: A phone shows the first examples of a formula; all of them have been run before they travel.
EXAMPLES_SHOWN = 2


class UnprovedError(FillfirstError):
    """Specs with which some visit goes wrong; `proof` holds the counterexamples."""

    def __init__(self, proof: Proof) -> None:
        self.proof = proof
        super().__init__(str(proof))


class CatalogError(FillfirstError):
    """Bytes that are not the catalog they are said to be."""

    def __init__(self, found: str, expected: str) -> None:
        self.found = found
        self.expected = expected
        super().__init__(f"found {found}; expected {expected}.")


@dataclass(frozen=True)
class Catalog:
    """Canonical JSON and the sha256 of it."""

    json: bytes
    hash: str

    @staticmethod
    def parse(json: bytes, hash: str | None = None) -> Specs:
        """Read a catalog back; where a hash is given the bytes must have it.

        Raises CatalogError.
        """
        found = hashlib.sha256(json).hexdigest()
        if hash is not None and hash != found:
            raise CatalogError(f"bytes with the hash {found}", f"the catalog {hash}")
        try:
            return Specs.model_validate(orjson.loads(json))
        except orjson.JSONDecodeError as cause:
            raise CatalogError("bytes that are not JSON", "a catalog") from cause
        except ValidationError as cause:
            place = ".".join(map(str, cause.errors()[0]["loc"]))
            raise CatalogError(f'JSON that does not fit at "{place}"', "a catalog of format 1") from cause


def build(specs: Specs, proof: Proof | None = None) -> Catalog:
    """Make the catalog of these specs; `proof` is theirs where the caller has it already.

    Raises UnprovedError when a visit goes wrong with them.
    """
    proof = proof or prove(specs)
    if not proof.is_proved:
        raise UnprovedError(proof)
    return write(specs)


def write(specs: Specs) -> Catalog:
    """The document itself. For specs of which the proof is known; everyone else calls `build`."""
    document = specs.model_dump()
    for formula in (*document["formulas"].values(), *document["functions"].values()):
        formula["examples"] = formula["examples"][:EXAMPLES_SHOWN]
    json = orjson.dumps(document, option=orjson.OPT_SORT_KEYS)
    return Catalog(json, hashlib.sha256(json).hexdigest())
