"""Reading a plan against what is asked: every unit accounted for once, strangers named.

Rules ``missing``, ``unknown`` and ``switch off``. What is unknown is reported here and left out of
everything that follows.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from spreadload.check.accounting import Units, unknown
from spreadload.check.asked import Asked
from spreadload.check.plugging import Plugging
from spreadload.check.state import Plugged
from spreadload.check.wiring import Wiring
from spreadload.check.words import too_many
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.plan import LeftOut, Placement, Plan, SwitchedOff, Violation
from spreadload.suggest import suggest
from spreadload.words import in_setup, setup_name


@dataclass(slots=True)
class Entries:
    """What a plan says of one set-up."""

    placements: list[Placement] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    switched_off: list[SwitchedOff] = field(default_factory=list)


@dataclass(slots=True)
class Found:
    """What one set-up comes to, and what is wrong with its entries."""

    plugged: list[Plugged] = field(default_factory=list)
    left_out: list[Demand] = field(default_factory=list)
    switched_off: list[Demand] = field(default_factory=list)
    faults: list[Violation] = field(default_factory=list)


def entries_by_setup(plan: Plan, setups: Iterable[str]) -> tuple[dict[str, Entries], list[str]]:
    """Return a plan's entries by set-up, and the ids of set-ups that do not exist."""
    found = {setup: Entries() for setup in setups}
    strangers: set[str] = set()
    for placement in plan.placements:
        if placement.setup in found:
            found[placement.setup].placements.append(placement)
        else:
            strangers.add(placement.setup)
    for left in plan.left_out:
        if left.setup in found:
            found[left.setup].left_out.append(left)
        else:
            strangers.add(left.setup)
    for off in plan.switched_off:
        if off.setup in found:
            found[off.setup].switched_off.append(off)
        else:
            strangers.add(off.setup)
    return found, sorted(strangers)


class Reader:
    """Reads one set-up of a plan at a time."""

    def __init__(self, facts: Facts, wiring: Wiring) -> None:
        """Look up what each set-up asks for."""
        self._facts = facts
        self._plugging = Plugging(facts, wiring)
        self.asked = {setup: Asked.of(facts, setup) for setup in facts.demands}

    def read(
        self, setup: str, entries: Entries, circuits_of_outlets: Mapping[str, str] | None
    ) -> Found:
        """Return what one set-up comes to."""
        asked = self.asked[setup]
        found = Found()
        off = self._switch_off(asked, entries.switched_off, found)
        placed: dict[tuple[str, str | None], list[Placement]] = {}
        left: dict[tuple[str, str | None], list[LeftOut]] = {}
        for placement in entries.placements:
            demand = self._demand(asked, off, placement, found)
            if demand is not None:
                placed.setdefault((demand.load, demand.place), []).append(placement)
        for entry in entries.left_out:
            demand = self._demand(asked, off, entry, found)
            if demand is not None and self._may_be_left_out(entry, found):
                left.setdefault((demand.load, demand.place), []).append(entry)
        for load, places in asked.by_load.items():
            if load not in off:
                for place, demand in places.items():
                    on_van = self._facts.loads[load].count
                    units = Units(demand, max(asked.total[load], on_van), found.faults)
                    for placement in units.admit(placed.get((load, place), ())):
                        self._plug_in(demand, placement, found, circuits_of_outlets)
                    found.left_out += [demand for _ in units.admit(left.get((load, place), ()))]
                    units.report_missing()
        return found

    def _switch_off(self, asked: Asked, entries: list[SwitchedOff], found: Found) -> frozenset[str]:
        """Return the loads that are off; a load that must stay on stays on."""
        off: set[str] = set()
        for load in sorted({entry.load for entry in entries}):
            demands = asked.every(load)
            if load not in self._facts.loads:
                found.faults.append(
                    unknown(asked.setup, load, f"No load “{load}” is in the job to switch off")
                )
            elif not demands:
                words = (
                    f"{load} is not on{in_setup(asked.setup)}, so it cannot be switched off there"
                )
                found.faults.append(unknown(asked.setup, load, words))
            elif not all(demand.may_be_off for demand in demands):
                words = (
                    f"{load} is switched off{in_setup(asked.setup)}, but nobody said it may be off"
                )
                found.faults.append(too_many("switch off", asked.setup, load, (1, 0), words))
            else:
                off.add(load)
                found.switched_off += demands
        return frozenset(off)

    def _demand(
        self, asked: Asked, off: frozenset[str], entry: Placement | LeftOut, found: Found
    ) -> Demand | None:
        """Return what an entry speaks of, or None after reporting that nothing asks for it."""
        demand = asked.find(entry.load, entry.place)
        if demand is not None and entry.load not in off:
            return demand
        where = f"{entry.load} {entry.unit}"
        setup = asked.setup
        named = setup_name(setup, starts=True)
        if entry.load not in self._facts.loads:
            words = f"{named} has {where}, but no load “{entry.load}” is in the job"
            words += _meant(entry.load, self._facts.loads)
        elif entry.load in off:
            words = f"{where} is placed{in_setup(setup)}, although the plan switches it off there"
        elif entry.load in asked.wired:
            words = f"{where} is placed{in_setup(setup)}, but it is wired to its circuit"
        elif entry.load not in asked.by_load:
            words = f"{where} is placed{in_setup(setup)}, which does not ask for it"
        else:
            words = f"{named} asks for no {entry.load} at {entry.place or 'a place left open'}"
        found.faults.append(unknown(setup, where, words))
        return None

    def _may_be_left_out(self, entry: LeftOut, found: Found) -> bool:
        if self._facts.loads[entry.load].is_head:
            return True
        words = (
            f"{entry.load} is not a head of ours, so it cannot be left out{in_setup(entry.setup)}"
        )
        found.faults.append(unknown(entry.setup, f"{entry.load} {entry.unit}", words))
        return False

    def _plug_in(
        self,
        demand: Demand,
        placement: Placement,
        found: Found,
        circuits_of_outlets: Mapping[str, str] | None,
    ) -> None:
        point = self._facts.points.get(placement.point)
        where = f"{placement.load} {placement.unit}"
        if point is None:
            words = (
                f"{where} is plugged in at “{placement.point}”{in_setup(demand.setup)}: "
                f"no such outlet{_meant(placement.point, self._facts.points)}"
            )
            found.faults.append(unknown(demand.setup, where, words))
            return
        plugged, strays = self._plugging.plug_in(demand, placement, point, circuits_of_outlets)
        found.plugged.append(plugged)
        found.faults += [unknown(demand.setup, where, words) for words in strays]


def _meant(name: str, known: Iterable[str]) -> str:
    """Return what a mistyped id may have been meant to be, as the end of a sentence."""
    question = suggest(name, known)
    return f"; {question}" if question else ""
