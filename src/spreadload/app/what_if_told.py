"""What could be otherwise, ready to be shown: offers, variants, moves, heads, generators.

Nothing here prints, and nothing is looked for.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from spreadload.changes.generator import GeneratorSize
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode
from spreadload.plan import Chance, Conflict
from spreadload.report.headed import headed
from spreadload.report.offers_text import offers_data, offers_text
from spreadload.report.style import Style
from spreadload.report.what_if_text import (
    generator_data,
    generator_text,
    holds_data,
    holds_text,
    moves_data,
    moves_text,
    rows_data,
    rows_text,
)
from spreadload.units import FULL_PCT

if TYPE_CHECKING:
    from spreadload.solver.what_if.compare import Row
    from spreadload.solver.what_if.fewest_moves import Moves
    from spreadload.solver.what_if.most_light import Filling, Holds
    from spreadload.solver.what_if.offers import Offers

_COUNTED = (
    "Circuits are not all known: this holds whatever the wiring, every outlet counted on every "
    "circuit it might be on. More may run with less certainty: see `plan`."
)
Where = Callable[[tuple[str | int, ...]], str]


@dataclass(frozen=True)
class OffersTold:
    """What stops a job and what would make it fit.

    Attributes:
        where: Where in the files an entry of the job stands.
        chance: Where circuits are not known and the job runs as asked on some wirings: how often
            its best plan fails.
    """

    facts: Facts
    offers: "Offers"
    conflicts: tuple[Conflict, ...]
    where: Where
    chance: Chance | None = None

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: 1 when the job as asked does not reach the target.

        A job that runs, if on last-resort outlets, is one that holds, as ``plan`` says.
        """
        runs = not (self.conflicts or self.offers.reasons) and self.offers.target_pct >= FULL_PCT
        if not self.offers.in_trouble or self.chance is not None or runs:
            return ExitCode.HOLDS
        undecided = set(self.offers.in_trouble) <= set(self.offers.unsure)
        return ExitCode.UNDECIDED if undecided else ExitCode.BREAKS_A_LIMIT

    def text(self, style: Style | None = None) -> str:
        """Return it as text for a terminal."""
        return offers_text(
            self.facts, self.offers, self.conflicts, self.where, style or Style(), self.chance
        )

    def data(self) -> dict[str, Any]:
        """Return it as data."""
        chance = None if self.chance is None else self.chance.model_dump(mode="json")
        found = offers_data(self.offers, self.conflicts, self.where)
        return headed("offers", found | {"chance": chance})


@dataclass(frozen=True)
class SwapTold:
    """Variants of a job beside the job itself."""

    facts: Facts
    rows: "tuple[Row, ...]"

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: 0 when at least one variant runs."""
        verdicts = {row.verdict for row in self.rows[1:]}
        if "fits" in verdicts:
            return ExitCode.HOLDS
        return ExitCode.UNDECIDED if "not decided" in verdicts else ExitCode.BREAKS_A_LIMIT

    def text(self, style: Style | None = None) -> str:
        """Return it as text for a terminal."""
        return rows_text(self.facts, self.rows, style or Style())

    def data(self) -> dict[str, Any]:
        """Return it as data."""
        return headed("swap", rows_data(self.rows))


@dataclass(frozen=True)
class MovesTold:
    """Which plugs to move so that a drawn plan holds."""

    found: "tuple[Moves, ...]"

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: 0 when the plan holds as drawn."""
        if not self.found:
            return ExitCode.HOLDS
        open_ = any(moves.plan is None and not moves.is_proven for moves in self.found)
        return ExitCode.UNDECIDED if open_ else ExitCode.BREAKS_A_LIMIT

    def text(self, style: Style | None = None) -> str:
        """Return it as text for a terminal."""
        return moves_text(self.found, style or Style())

    def data(self) -> dict[str, Any]:
        """Return it as data."""
        return headed("offers", moves_data(self.found))


@dataclass(frozen=True)
class HoldsTold:
    """How many heads a set-up holds.

    Attributes:
        is_open: Whether circuits are not known, so that what is told holds whatever the wiring.
    """

    filling: "Filling"
    found: "tuple[Holds, ...]"
    is_open: bool = False

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: 3 when something is not proved."""
        if any(holds.most is None and holds.is_proven for holds in self.found):
            return ExitCode.BREAKS_A_LIMIT
        is_proven = all(holds.is_proven for holds in self.found)
        return ExitCode.HOLDS if is_proven else ExitCode.UNDECIDED

    def text(self, style: Style | None = None) -> str:
        """Return it as text for a terminal."""
        style = style or Style()
        text = holds_text(self.filling, self.found, style)
        return f"{text}\n\n{style.wrap(_COUNTED)}" if self.is_open else text

    def data(self) -> dict[str, Any]:
        """Return it as data."""
        found = holds_data(self.filling, self.found)
        return headed("how-many", found | {"whatever_the_wiring": self.is_open})


@dataclass(frozen=True)
class GeneratorTold:
    """How large a generator has to be."""

    size: GeneratorSize
    exit_code: ExitCode = ExitCode.HOLDS

    def text(self, style: Style | None = None) -> str:
        """Return it as text for a terminal."""
        return generator_text(self.size, style or Style())

    def data(self) -> dict[str, Any]:
        """Return it as data."""
        return headed("generator", generator_data(self.size))
