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

# Units asked for together, by load and place, and what a plan says of them.
_Units = tuple[str, str | None]
_Entered = tuple[list[Placement], list[LeftOut]]


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

    def add(self, other: "Found") -> None:
        """Take in what a part of the set-up comes to."""
        self.plugged += other.plugged
        self.left_out += other.left_out
        self.switched_off += other.switched_off
        self.faults += other.faults


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
        self._wirings: dict[str, Mapping[str, str] | None] = {}
        self._last: dict[str, dict[_Units, tuple[_Entered, Found]]] = {}

    def read(
        self, setup: str, entries: Entries, circuits_of_outlets: Mapping[str, str] | None
    ) -> Found:
        """Return what one set-up comes to."""
        asked = self.asked[setup]
        found = Found()
        off = self._switch_off(asked, entries.switched_off, found)
        placed: dict[_Units, list[Placement]] = {}
        left: dict[_Units, list[LeftOut]] = {}
        for placement in entries.placements:
            demand = self._demand(asked, off, placement, found)
            if demand is not None:
                placed.setdefault((demand.load, demand.place), []).append(placement)
        for entry in entries.left_out:
            demand = self._demand(asked, off, entry, found)
            if demand is not None and self._may_be_left_out(entry, found):
                left.setdefault((demand.load, demand.place), []).append(entry)
        self._forget_other_wirings(setup, circuits_of_outlets)
        for load, places in asked.by_load.items():
            if load not in off:
                for place, demand in places.items():
                    own = placed.get((load, place), []), left.get((load, place), [])
                    found.add(self._units(asked, demand, own, circuits_of_outlets))
        return found

    def _forget_other_wirings(
        self, setup: str, circuits_of_outlets: Mapping[str, str] | None
    ) -> None:
        if self._wirings.get(setup) != circuits_of_outlets:
            self._wirings[setup] = circuits_of_outlets
            self._last[setup] = {}

    def _units(
        self,
        asked: Asked,
        demand: Demand,
        entered: _Entered,
        circuits_of_outlets: Mapping[str, str] | None,
    ) -> Found:
        """Return what the units of one demand come to; read as last time if entered as then."""
        last = self._last.setdefault(asked.setup, {})
        before = last.get((demand.load, demand.place))
        if before is not None and before[0] == entered:
            return before[1]
        found = Found()
        placed, left = entered
        on_van = self._facts.loads[demand.load].count
        units = Units(demand, max(asked.total[demand.load], on_van), found.faults)
        for placement in units.admit(placed):
            self._plug_in(demand, placement, found, circuits_of_outlets)
        found.left_out += [demand for _ in units.admit(left)]
        units.report_missing()
        last[demand.load, demand.place] = (entered, found)
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
            words += _meant(entry.place or "", [p for p in asked.by_load[entry.load] if p])
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
