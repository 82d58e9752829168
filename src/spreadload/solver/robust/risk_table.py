"""Maps as groups of outlets that share a limiting device: the table every robust step works on.

A map matters only through which columns (points that are wired alike) come together on a breaker,
an RCD, a feed or a phase. Equal groups of different maps are one row, so thousands of maps become
some hundreds of rows, and holding a plan against all of them is one matrix product.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

import numpy as np
from numpy.typing import NDArray

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.points import exposure, exposure_on
from spreadload.derived.records import Exposure, Point
from spreadload.plan import Plan
from spreadload.solver.model.candidates import Candidate
from spreadload.wiring.maps import Maps
from spreadload.wiring.rows import different_rows
from spreadload.wiring.ties import evened

COUNTED, UNIT, LEAKAGE = "counted", "unit", "leakage"
_SINGLE = "single load on "
# Absorbs what adding up doubles leaves over; far below any load or weight.
TINY = 1e-6
Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Options = Mapping[Demand, tuple[Candidate, ...]]


@dataclass(frozen=True)
class Device:
    """One limiting device: what kind of amount it adds up, its name, its limit in that unit."""

    amount: str
    rule: str
    name: tuple[str, ...]
    limit: int


class _Groups:
    """Gathers the groups of columns that come together on a device in some map, each once."""

    def __init__(self, maps: int, columns: int) -> None:
        self.devices: list[Device] = []
        self.device_of: list[int] = []
        self._rows = [np.zeros((0, columns), dtype=bool)]
        self._of_map = [np.zeros((maps, 0), dtype=np.intp)]

    def add(self, device: Device, member: Bools) -> None:
        """Take up a device, unless no column counts on it in any map."""
        if not member.any():
            return
        own, index = different_rows(member, 2)
        self._of_map.append((index + len(self.device_of))[:, None])
        self._rows.append(own)
        self.device_of += [len(self.devices)] * len(own)
        self.devices.append(device)

    @property
    def rows(self) -> Bools:
        """Per group, which columns are in it."""
        return np.concatenate(self._rows)

    @property
    def of_map(self) -> NDArray[np.intp]:
        """Per map and device, the group."""
        return np.concatenate(self._of_map, axis=1)


@dataclass(frozen=True)
class RiskTable:
    """Groups of columns per device, which map has which, and what limits them.

    Attributes:
        facts: The job worked out with unknown circuits left to the maps.
        maps: The maps, merged to the outlets that matter.
        setups: Set-up ids in order.
        columns: Exposures that can be told apart.
        devices: Every device that some column counts on in some map.
        amounts: Kinds of amount in the order of the first axis of a load tensor.
        group: Per group, which columns are in it.
        device_of: Per group, its device.
        limit: Per group, the limit, in the device's unit.
        of_map: Per map and device, the group.
    """

    facts: Facts
    maps: Maps
    setups: tuple[str, ...]
    columns: tuple[Exposure, ...]
    devices: tuple[Device, ...]
    amounts: tuple[str, ...]
    group: Bools
    device_of: NDArray[np.intp]
    limit: Floats
    of_map: NDArray[np.intp]

    @classmethod
    def of(
        cls,
        facts: Facts,
        maps: Maps,
        points: Iterable[Point],
        options: Options | None = None,
    ) -> "RiskTable":
        """Build the table for the points that may carry something.

        Args:
            facts: Worked out with ``unknown="maps"``.
            maps: Maps still possible.
            points: Points that some demand may use.
            options: What each demand may use, to leave out groups that can never be over.
        """
        used = sorted({p.id: p for p in points}.items())
        columns = tuple(dict.fromkeys(point.exposure for _, point in used))
        sample = {point.exposure: point for _, point in reversed(used)}
        open_outlets = tuple(dict.fromkeys(c.left_to_maps for c in columns if c.left_to_maps))
        merged = maps.merged(open_outlets) if open_outlets else maps.merged(maps.outlets[:1])
        wired = [_ways(facts, merged, column, sample[column]) for column in columns]
        groups = _Groups(len(merged), len(columns))
        for device in _devices(facts):
            groups.add(device, _members(merged, columns, wired, device))
        kept = tuple(groups.devices)
        table = cls(
            facts=facts,
            maps=merged,
            setups=tuple(facts.demands),
            columns=columns,
            devices=kept,
            amounts=tuple(dict.fromkeys(d.amount for d in kept)),
            group=groups.rows,
            device_of=np.array(groups.device_of, dtype=np.intp),
            limit=np.array([kept[d].limit for d in groups.device_of], dtype=float),
            of_map=groups.of_map,
        )
        return table._that_matter(options) if options and kept else table

    def _that_matter(self, options: Options) -> "RiskTable":
        """Return the table without groups that could not pass their limit if they tried.

        Their maps point at one group without members instead, kept as the last.
        """
        matter = np.flatnonzero((self.most(options) > self.limit[:, None]).any(axis=1))
        new = np.full(len(self.limit), len(matter), dtype=np.intp)
        new[matter] = np.arange(len(matter))
        of_map = new[self.of_map]
        kept = (of_map < len(matter)).any(axis=0)
        rows, index = different_rows(of_map[:, kept], len(matter) + 1)
        weights = np.zeros(len(rows))
        np.add.at(weights, index, self.maps.weights)
        order = np.argsort(-evened(weights), kind="stable")
        first = np.zeros(len(rows), dtype=np.intp)
        first[index[::-1]] = np.arange(len(index))[::-1]
        maps = replace(self.maps, on=self.maps.on[first[order]], weights=weights[order])
        nothing = np.zeros((1, len(self.columns)), dtype=bool)
        return replace(
            self,
            maps=maps,
            group=np.concatenate([self.group[matter], nothing]),
            device_of=np.append(self.device_of[matter], 0).astype(np.intp),
            limit=np.append(self.limit[matter], np.inf),
            of_map=rows[order],
        )

    def most(self, options: Options) -> Floats:
        """Return the most each group could carry in each set-up if all that can were in it."""
        column = {c: n for n, c in enumerate(self.columns)}
        found = self.base(frozenset())[self.device_of].copy()
        for demand, some in options.items():
            s = self.setups.index(demand.setup)
            can = np.zeros(len(self.columns), dtype=bool)
            can[[column[o.point.exposure] for o in some]] = True
            poles = max((o.poles for o in some), default=1)
            each = {k: self.amount(k, demand.setup, demand.load, poles) for k in self.amounts}
            per_device = np.array([each[d.amount] for d in self.devices], dtype=float)
            reached = (self.group & can).any(axis=1)
            found[:, s] += reached * per_device[self.device_of] * demand.count
        return found

    @cached_property
    def group_weight(self) -> Floats:
        """Weight of the maps that each group is part of."""
        found = np.zeros(len(self.limit))
        for column in self.of_map.T:
            found += np.bincount(column, self.maps.weights, minlength=len(found))
        return found

    def amount(self, kind: str, setup: str, load: str, poles: int) -> int:
        """Return what one unit of a load adds, in the unit of a kind of amount."""
        if kind == COUNTED:
            return self.facts.counted_ma(setup, load, poles)
        if kind == UNIT:
            return self.facts.unit_ma(load, poles)
        if kind == LEAKAGE:
            return self.facts.loads[load].leakage_ua
        allowed_ma = self.facts.single_load_ma(kind.removeprefix(_SINGLE), load)
        return int(allowed_ma is not None and self.facts.unit_ma(load, poles) > allowed_ma)

    def base(self, off: frozenset[tuple[str, str]]) -> Floats:
        """Return per device and set-up what hard-wired loads take, those switched off left out."""
        found = np.zeros((len(self.devices), len(self.setups)))
        for s, setup in enumerate(self.setups):
            for demand in self.facts.demands[setup]:
                if demand.circuit is None or (setup, demand.load) in off:
                    continue
                circuit = self.facts.circuits[demand.circuit]
                on = exposure([circuit], None, frozenset())
                for d, device in enumerate(self.devices):
                    if not device.amount.startswith(_SINGLE) and _is_on(device, on):
                        poles = circuit.poles
                        found[d, s] += demand.count * self.amount(
                            device.amount, setup, demand.load, poles
                        )
        return found

    def carried(self, plan: Plan) -> Floats:
        """Return a plan as amounts per kind, column and set-up."""
        found = np.zeros((len(self.amounts), len(self.columns), len(self.setups)))
        for placement in plan.placements:
            point = self.facts.points[placement.point]
            e, s = self._column[point.exposure], self.setups.index(placement.setup)
            poles = self.facts.poles_at(placement.load, point)
            found[:, e, s] += self._amounts(placement.setup, placement.load, poles)
        return found

    @cached_property
    def _column(self) -> dict[Exposure, int]:
        return {c: n for n, c in enumerate(self.columns)}

    def _amounts(self, setup: str, load: str, poles: int) -> Floats:
        """Return what one unit adds of every kind of amount."""
        key = (setup, load, poles)
        if key not in self._known_amounts:
            each = [self.amount(kind, *key) for kind in self.amounts]
            self._known_amounts[key] = np.array(each, dtype=float)
        return self._known_amounts[key]

    @cached_property
    def _known_amounts(self) -> dict[tuple[str, str, int], Floats]:
        return {}

    def loads(self, carried: Floats, base: Floats) -> Floats:
        """Return the load of every group in every set-up, in its device's unit."""
        found = base[self.device_of]
        for (rows, inside), of_kind in zip(self._by_kind, carried, strict=True):
            found[rows] += inside @ of_kind
        return found

    @cached_property
    def _by_kind(self) -> tuple[tuple[NDArray[np.intp], Floats], ...]:
        """Per kind of amount: the groups that add it up, and which columns are in each."""
        rows = [np.flatnonzero(self._rows(kind)) for kind in self.amounts]
        return tuple((some, self.group[some].astype(float)) for some in rows)

    def violated(self, carried: Floats, base: Floats) -> Bools:
        """Return per group and set-up whether its limit is passed."""
        passed = self.loads(carried, base) > self.limit[:, None] + TINY
        over: Bools = np.asarray(passed, dtype=np.bool_)
        return over

    def fails(self, violated: Bools) -> Bools:
        """Return per map whether any limit is passed in any set-up."""
        some: Bools = np.asarray(violated.any(axis=1), dtype=np.bool_)
        failing: Bools = np.asarray(some[self.of_map].any(axis=1), dtype=np.bool_)
        return failing

    def risk(self, plan: Plan) -> float:
        """Return the weight of maps on which a plan passes a limit that depends on the map."""
        return self.maps.share(self.fails(self.violated(self.carried(plan), self.off(plan))))

    def off(self, plan: Plan) -> Floats:
        """Return the hard-wired base with what a plan switches off left out."""
        return self.base(frozenset((o.setup, o.load) for o in plan.switched_off))

    def _rows(self, kind: str) -> Bools:
        kinds = np.array([d.amount == kind for d in self.devices], dtype=bool)
        rows: Bools = kinds[self.device_of]
        return rows


def _devices(facts: Facts) -> list[Device]:
    found: list[Device] = []
    for c in facts.circuits.values():
        poles = c.phases if c.poles > 1 else ("",)
        found += [Device(COUNTED, "circuit", (c.id, pole), c.cap_ma) for pole in poles]
        if facts.single_load_ma(c.id) is not None:
            found.append(Device(_SINGLE + c.id, "single load", (c.id,), 0))
    found += [
        Device(COUNTED, "feed", (f.id, line), f.cap_ma)
        for f in facts.feeds.values()
        for line in f.phases
    ]
    found += [Device(UNIT, "phase", (p,), facts.supply.cap_ma) for p in facts.supply.phases]
    for rcd in facts.rcds.values():
        found.append(Device(LEAKAGE, "rcd leakage", (rcd.id,), rcd.may_trip_ua))
        if rcd.rating_ma is not None:
            found += [
                Device(UNIT, "rcd amps", (rcd.id, line), rcd.rating_ma)
                for line in facts.supply.phases
            ]
    return found


def _is_on(device: Device, on: Exposure) -> bool:
    """Whether what is exposed so counts on a device."""
    return _TESTS[device.rule](device.name, on)


_TESTS: dict[str, Callable[[tuple[str, ...], Exposure], bool]] = {
    "circuit": lambda name, on: name in on.circuits,
    "single load": lambda name, on: name[0] in {circuit for circuit, _ in on.circuits},
    "feed": lambda name, on: name in on.feeds,
    "phase": lambda name, on: name[0] in on.phases,
    "rcd leakage": lambda name, on: name[0] in on.rcds,
    "rcd amps": lambda name, on: name in set(product(on.rcds, on.phases)),
}


def _ways(facts: Facts, maps: Maps, column: Exposure, sample: Point) -> list[Exposure]:
    """Return what a column is on, per circuit of the maps; one alone where no map matters."""
    if column.left_to_maps is None:
        return [column]
    return [exposure_on(facts.job, sample, facts.circuits[c]) for c in maps.circuits]


def _members(
    maps: Maps, columns: Sequence[Exposure], wired: Sequence[Sequence[Exposure]], device: Device
) -> Bools:
    """Return per map and column whether the column counts on a device."""
    found = np.zeros((len(maps), len(columns)), dtype=bool)
    for e, (column, ways) in enumerate(zip(columns, wired, strict=True)):
        counts = np.array([_is_on(device, way) for way in ways])
        if column.left_to_maps is None:
            found[:, e] = counts
        else:
            found[:, e] = counts[maps.on[:, maps.outlets.index(column.left_to_maps)]]
    return found
