"""One set-up of a plan as the judge reads it: what is plugged in, what is wired, what is off."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from spreadload.check.devices import Devices
from spreadload.check.wiring import Behind
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.records import BoardFacts, LeadFacts, LoadFacts, Point
from spreadload.electrical.neutral import WaveKind
from spreadload.network.records import HouseVolts
from spreadload.units import percent_used
from spreadload.words import setup_name

if TYPE_CHECKING:
    from spreadload.check.goals import Cause
    from spreadload.job.preferences import Goal

Socket = tuple[str, int]


@dataclass(frozen=True, slots=True)
class Plugged:
    """One unit plugged in.

    Attributes:
        route_m: Length of lead it needs, its own cord included [m]; 0 without a place.
        poles: Poles the unit uses there.
        unit_ma: Its worst current per pole [mA].
        counted_ma: What it counts against breakers and feeds per pole [mA].
        board_lead: Lead between outlet and power board.
        lead: Lead of its own.
        has_stray_lead: Whether the plan names a lead that does not exist.
        has_stray_board: Whether the plan names a power board that does not exist.
    """

    load: LoadFacts
    demand: Demand
    unit: int
    point: Point
    socket: int
    board: BoardFacts | None
    board_lead: LeadFacts | None
    lead: LeadFacts | None
    behind: Behind
    route_m: float
    poles: int
    unit_ma: int
    counted_ma: int
    has_stray_lead: bool = False
    has_stray_board: bool = False

    @property
    def leads(self) -> tuple[LeadFacts, ...]:
        """The leads between the load and the wall, nearest to the load first."""
        return tuple(lead for lead in (self.lead, self.board_lead) if lead is not None)

    @property
    def where(self) -> str:
        """Load id and unit number."""
        return f"{self.load.id} {self.unit}"

    @property
    def name(self) -> str:
        """The unit in crew words."""
        several = f" {self.unit}" if self.demand.count > 1 else ""
        return f"{self.load.what}{several}"


@dataclass(frozen=True, slots=True)
class Wired:
    """Units wired to a circuit, without a plug."""

    load: LoadFacts
    count: int
    behind: Behind
    unit_ma: int
    counted_ma: int
    circuit: str


@dataclass(frozen=True)
class SetupState:
    """What is on in one set-up, with the sums on every device.

    Attributes:
        left_out: Heads left out, one entry per unit.
        switched_off: Demands switched off.
        current_ma: Sum of actual amps per row of ``devices`` [mA].
        counted_ma: Sum of counted amps per row of ``devices`` [mA].
        leakages_ua: Standing leakage of everything that might be behind each RCD [µA].
        waves: How much third harmonic each load draws.
        volts: Volts under load, or None where nobody read any under a known load.
        may_refuse_on_volts: Whether the readings are good enough to refuse a plan on.
        volts_source: Where the volts come from, for a reader.
    """

    facts: Facts
    devices: Devices
    setup: str
    plugged: tuple[Plugged, ...]
    wired: tuple[Wired, ...]
    left_out: tuple[LoadFacts, ...]
    switched_off: tuple[Demand, ...]
    current_ma: tuple[int, ...]
    counted_ma: tuple[int, ...]
    leakages_ua: Mapping[str, int]
    waves: Mapping[str, WaveKind]
    volts: HouseVolts | None = None
    may_refuse_on_volts: bool = False
    volts_source: str = ""

    @property
    def name(self) -> str:
        """The set-up as it reads in a sentence."""
        return setup_name(self.setup)

    def against_limit_ma(self, row: int) -> int:
        """Return what is held against the limit of a device [mA]."""
        counted = self.devices.rows[row].is_counted
        return self.counted_ma[row] if counted else self.current_ma[row]

    @cached_property
    def used_pct(self) -> tuple[int, ...]:
        """How full each device is [%], per row of ``devices``."""
        rows = enumerate(self.devices.rows)
        return tuple(percent_used(self.against_limit_ma(row), d.cap_ma) for row, d in rows)

    @cached_property
    def fullest(self) -> tuple[int, int] | None:
        """Per cent and row of the fullest device that plugs may count on, the first of equals."""
        rows = [
            (used, -row)
            for row, (used, device) in enumerate(zip(self.used_pct, self.devices.rows, strict=True))
            if device.takes_plugs
        ]
        used_pct, row = max(rows, default=(0, 1))
        return (used_pct, -row) if rows else None

    @cached_property
    def single_phase_ma(self) -> Mapping[WaveKind, int]:
        """What loads on one phase each draw together, by the shape of their waves [mA]."""
        found: dict[WaveKind, int] = {}
        for unit in self.plugged:
            if unit.poles == 1:
                wave = self.waves[unit.load.id]
                found[wave] = found.get(wave, 0) + unit.unit_ma
        for group in self.wired:
            if len(self.facts.circuits[group.circuit].phases) == 1:
                wave = self.waves[group.load.id]
                found[wave] = found.get(wave, 0) + group.unit_ma * group.count
        return found

    @cached_property
    def causes(self) -> "dict[Goal, tuple[Cause, ...]]":
        """What was found to count for goals that look at each set-up by itself."""
        return {}

    def leakage_ua(self, rcd_id: str) -> int:
        """Return the standing leakage of everything that might be behind an RCD [µA]."""
        return self.leakages_ua.get(rcd_id, 0)

    @cached_property
    def by_socket(self) -> dict[Socket, list[Plugged]]:
        """What is plugged in, by point and socket."""
        sockets: dict[Socket, list[Plugged]] = {}
        for unit in self.plugged:
            sockets.setdefault((unit.point.id, unit.socket), []).append(unit)
        return sockets

    @cached_property
    def by_outlet(self) -> dict[str, tuple[Plugged, ...]]:
        """What is plugged in, by outlet, on boxes standing there too."""
        outlets: dict[str, list[Plugged]] = {}
        for unit in self.plugged:
            outlets.setdefault(unit.point.outlet, []).append(unit)
        return {outlet: tuple(units) for outlet, units in outlets.items()}

    @cached_property
    def heads(self) -> tuple[Plugged, ...]:
        """The heads that are lit."""
        return tuple(unit for unit in self.plugged if unit.load.is_head)

    @cached_property
    def points_by_load(self) -> dict[str, dict[str, int]]:
        """How many units of each load are plugged in at each point."""
        found: dict[str, dict[str, int]] = {}
        for unit in self.plugged:
            points = found.setdefault(unit.load.id, {})
            points[unit.point.id] = points.get(unit.point.id, 0) + 1
        return found

    def only(self, plugged: Iterable[Plugged]) -> "SetupState":
        """Return the set-up with some of its units alone; what is summed stays as it is."""
        return replace(self, plugged=tuple(plugged))


def sums(
    plugged: tuple[Plugged, ...], wired: tuple[Wired, ...], rows: int
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return actual and counted amps per device row [mA]."""
    current = [0] * rows
    counted = [0] * rows
    for unit in plugged:
        for row in unit.behind.rows:
            current[row] += unit.unit_ma
            counted[row] += unit.counted_ma
    for group in wired:
        for row in group.behind.rows:
            current[row] += group.unit_ma * group.count
            counted[row] += group.counted_ma * group.count
    return tuple(current), tuple(counted)


def leakages(plugged: tuple[Plugged, ...], wired: tuple[Wired, ...]) -> dict[str, int]:
    """Return the standing leakage behind each RCD [µA]; those with none are left away."""
    found: dict[str, int] = {}
    for unit in plugged:
        for rcd in unit.behind.rcds:
            found[rcd] = found.get(rcd, 0) + unit.load.leakage_ua
    for group in wired:
        for rcd in group.behind.rcds:
            found[rcd] = found.get(rcd, 0) + group.load.leakage_ua * group.count
    return found
