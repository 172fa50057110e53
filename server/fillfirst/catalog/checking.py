"""What `fillfirst check` does: tell every problem of the specs, and where there is none, prove them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from fillfirst.specs import Problem, lay, link_files, render
from fillfirst.visits.proof import Proof, prove


@dataclass(frozen=True)
class Checked:
    """What came of checking. Without a proof there were problems that come first."""

    file_count: int
    problems: list[Problem]
    proof: Proof | None

    @property
    def is_fine(self) -> bool:
        return not self.problems and self.proof is not None and self.proof.is_proved

    def __str__(self) -> str:
        if self.problems:
            count = len(self.problems)
            counted = "1 problem" if count == 1 else f"{count} problems"
            return f"{render(self.problems)}\n\n{counted}. Nothing was proved."
        if self.proof is None:
            return "These files are fine. Other specs have problems, so nothing was proved."
        return f"{self.file_count} files read without a problem.\n{self.proof}"


def check(paths: Sequence[Path], within: Path | None = None) -> Checked:
    """Check a folder of specs, or single files as if they lay in the folder `within`."""
    laid = lay(paths, within)
    specs, problems = link_files(laid.files)
    told = [*laid.unread, *(problem for problem in problems if laid.is_meant(problem))]
    proof = prove(specs) if specs is not None and not told else None
    return Checked(len(laid.files), told, proof)
