"""Accounting for identical units: each placed or left out once, none missing, none too many."""

from collections.abc import Iterable
from typing import TypeVar

from spreadload.check.words import too_many
from spreadload.derived.asked import Demand
from spreadload.plan import LeftOut, Placement, Violation
from spreadload.words import in_setup

Entry = TypeVar("Entry", Placement, LeftOut)


def unknown(setup: str, where: str, words: str) -> Violation:
    """Return the violation for something the job does not know or ask for."""
    return too_many("unknown", setup, where, (1, 0), words)


class Units:
    """Accounts for the units of one demand: each once, none too many."""

    def __init__(self, demand: Demand, total: int, faults: list[Violation]) -> None:
        """Start with no unit seen; ``total`` is the highest number a unit may have."""
        self._demand = demand
        self._total = total
        self._faults = faults
        self._seen: set[int] = set()

    def admit(self, entries: Iterable[Entry]) -> list[Entry]:
        """Return the entries that are asked for; which of too many is strange is a fixed choice."""
        admitted: list[Entry] = []
        for entry in sorted(entries, key=_fixed_order):
            if entry.unit in self._seen:
                self._refuse(entry.unit, "is in the plan twice")
            elif entry.unit > self._total or len(self._seen) == self._demand.count:
                self._refuse(entry.unit, f"is one more than the {self._demand.count} asked for")
            else:
                self._seen.add(entry.unit)
                admitted.append(entry)
        return admitted

    def report_missing(self) -> None:
        """Report units that the plan does not speak of."""
        demand = self._demand
        has = len(self._seen)
        if has < demand.count:
            at = f" at {demand.place}" if demand.place else ""
            words = (
                f"{demand.count - has} of {demand.count} {demand.load}{at} "
                f"{'is' if demand.count - has == 1 else 'are'} neither placed nor left out"
                f"{in_setup(demand.setup)}"
            )
            where = f"{demand.load}{at}"
            self._faults.append(
                too_many("missing", demand.setup, where, (has, demand.count), words)
            )

    def _refuse(self, unit: int, why: str) -> None:
        where = f"{self._demand.load} {unit}"
        setup = self._demand.setup
        self._faults.append(unknown(setup, where, f"{where} {why}{in_setup(setup)}"))


def _fixed_order(entry: Placement | LeftOut) -> tuple[int, str, int]:
    if isinstance(entry, Placement):
        return (entry.unit, entry.point, entry.socket)
    return (entry.unit, "", 0)
