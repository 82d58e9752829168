"""The house under load: every set-up solved, worst of the ways its wiring might be."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from spreadload.derived.facts import Facts
from spreadload.derived.supply import feed_chain
from spreadload.network.classes import Behaves, behaves
from spreadload.network.records import Case, DropOuts, Fixed, HouseVolts, Hung
from spreadload.network.service import (
    Service,
    best_read,
    estimates_by_point,
    has_loaded_readings,
    service_of,
)
from spreadload.network.shared import Shared
from spreadload.network.ways import Way, best_way, circuits_of_outlet, might_be_on, worst_ways
from spreadload.network.wires import Wires

if TYPE_CHECKING:
    from spreadload.electrical.neutral import WaveKind

KEPT_SETUPS = 5_000


class House:
    """A job as a network. Build it once; it keeps what it has solved."""

    def __init__(self, facts: Facts) -> None:
        """Read the readings and look up what every load does."""
        self.facts = facts
        estimates = estimates_by_point(facts)
        self.wires = Wires(facts, estimates)
        self.has_readings = has_loaded_readings(facts)
        self.service: Service = service_of(facts, estimates, self._wiring_to(best_read(estimates)))
        self.behaves: dict[str, Behaves] = {load: behaves(facts, load) for load in facts.loads}
        self.waves: dict[str, WaveKind] = {load: b.wave for load, b in self.behaves.items()}
        self.shared = Shared(facts, self.wires, self.service)
        self._kept: dict[object, HouseVolts] = {}

    @property
    def may_refuse(self) -> bool:
        """Whether the supply was read well enough for volts to refuse a plan."""
        return self.has_readings and self.service.may_refuse

    def solve(
        self,
        setup: str,
        hung: Sequence[Hung],
        fixed: Sequence[Fixed],
        case: Case | None = None,
    ) -> HouseVolts:
        """Return the volts and amps of one set-up.

        Args:
            setup: Set-up id.
            hung: What is plugged in.
            fixed: What is wired and on.
            case: Which figures to solve with; worst draws on the likely supply if None.

        Where an outlet may be on several circuits the worst counts; where that is left to the
        wiring maps the best does, as if it had a cable of its own, so that only what fails on
        every map is refused.
        """
        case = case or Case()
        key = (setup, tuple(hung), tuple(fixed), case)
        if key not in self._kept:
            if len(self._kept) >= KEPT_SETUPS:
                self._kept.clear()
            self._kept[key] = worst_of(
                [self._solve(setup, hung, fixed, (case, way)) for way in self._ways(hung, fixed)]
            )
        return self._kept[key]

    def _ways(self, hung: Sequence[Hung], fixed: Sequence[Fixed]) -> list[Way]:
        """Return the ways to try: the best one where the maps decide, else the worst of each."""
        if any(unit.is_left_to_maps for unit in hung):
            return [best_way(self.facts, self.wires, self.service.ohm, (hung, fixed))]
        return worst_ways(self.facts, might_be_on(self.facts, hung))

    def drop_outs(self, hung: Sequence[Hung], fixed: Sequence[Fixed]) -> DropOuts:
        """Return which heads go out as the volts fall, the worst first, until the rest stays on.

        Args:
            hung: What is plugged in.
            fixed: What is wired and on.

        On the likely supply, and on the first of the ways the wiring may be.
        """
        from spreadload.network.solved import OneWay  # noqa: PLC0415 - loads numpy

        on = self._ways(hung, fixed)[0].on
        one_way = OneWay(self.facts, self.wires, self.behaves, self.service, on)
        return one_way.drop_outs(hung, fixed, Case())

    def at_the_board(self, setup: str, loads: Sequence[tuple[str, int]]) -> HouseVolts:
        """Return a set-up as if everything hung at the main board: no wiring can give more volts.

        Args:
            setup: Set-up id.
            loads: Load ids with how many of each are on; a supply of one line only.
        """
        from spreadload.network.solved import OneWay  # noqa: PLC0415 - loads numpy

        one_way = OneWay(self.facts, self.wires, self.behaves, self.service, {})
        return one_way.solve(setup, (), [Fixed(load, n, "") for load, n in loads], Case())

    def _wiring_to(self, at: str | None) -> float:
        """Return the resistance of the wiring from the board to a point with readings [Ω]."""
        if at is None:
            return 0.0
        job = self.facts.job
        if at in job.sub_boards:
            chain, ohm = list(feed_chain(job, at)), 0.0
        else:
            circuits = sorted(self.facts.points[at].exposure.might_be_on)
            circuit = circuits[0]
            chain = list(self.facts.circuits[circuit].feeds)
            ohm = self.wires.estimated(circuit, at).ohm.real
        return ohm + sum(self.wires.to_sub_board(board).ohm.real for board in chain)

    def _solve(
        self,
        setup: str,
        hung: Sequence[Hung],
        fixed: Sequence[Fixed],
        which: tuple[Case, Way],
    ) -> HouseVolts:
        from spreadload.network.solved import OneWay  # noqa: PLC0415 - loads numpy

        case, way = which
        on = dict(way.on)
        more: tuple[str, ...] = ()
        if case.all_outlets:
            known = {o: circuits_of_outlet(self.facts, o) for o in self.facts.job.outlets}
            more = tuple(o for o, might in known.items() if o not in on and len(might) == 1)
            on |= {outlet: min(known[outlet]) for outlet in more}
        one_way = OneWay(self.facts, self.wires, self.behaves, self.service, on, more, way.alone)
        return one_way.solve(setup, hung, fixed, case)


def worst_of(ways: Sequence[HouseVolts]) -> HouseVolts:
    """Return the worst figure of each kind over several ways the house might be wired."""
    if len(ways) == 1:
        return ways[0]
    collapsed = next((way for way in ways if way.collapse), None)
    if collapsed is not None:
        return collapsed
    units = [
        min(same, key=lambda unit: unit.volts)
        for same in zip(*(w.units for w in ways), strict=True)
    ]
    return HouseVolts(
        setup=ways[0].setup,
        idle_v=ways[0].idle_v,
        board_v=min(way.board_v for way in ways),
        sub_boards_v=_lowest_of([way.sub_boards_v for way in ways]),
        outlets_v=_lowest_of([way.outlets_v for way in ways]),
        units=tuple(units),
        line_a=tuple(max(amps) for amps in zip(*(way.line_a for way in ways), strict=True)),
        neutral_a=max(way.neutral_a for way in ways),
        neutral_triplen_a=max(way.neutral_triplen_a for way in ways),
        circuits_a={
            circuit: max(way.circuits_a.get(circuit, 0.0) for way in ways)
            for circuit in dict.fromkeys(c for way in ways for c in way.circuits_a)
        },
        losses_w=max(way.losses_w for way in ways),
        taken_w=max(way.taken_w for way in ways),
    )


def _lowest_of(each: Sequence[Mapping[str, float]]) -> dict[str, float]:
    found: dict[str, float] = {}
    for volts in each:
        for name, value in volts.items():
            found[name] = min(value, found.get(name, value))
    return found
