"""Everything worked out from a job once, for the solver, the judge and the reports to read."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from spreadload import practice
from spreadload.derived.asked import Demand, demands, hours, runs_all_day
from spreadload.derived.contract import Counted
from spreadload.derived.kit import board_facts, box_facts, lead_facts, load_facts
from spreadload.derived.points import points
from spreadload.derived.reach import RouteRule, lengths_of, outlet_spot, route_rule, spot
from spreadload.derived.records import (
    BoardFacts,
    BoxFacts,
    CircuitFacts,
    FeedFacts,
    LeadFacts,
    LoadFacts,
    Point,
    RcdFacts,
    SupplyFacts,
)
from spreadload.derived.supply import (
    circuit_facts,
    feed_facts,
    rcd_facts,
    supply_facts,
    with_contract_as_limit,
)
from spreadload.derived.usual_leads import with_usual_leads
from spreadload.derived.wired_ways import holding_what_is_wired
from spreadload.job.base import clock_minutes
from spreadload.job.job import Job
from spreadload.job.kit import Load
from spreadload.job.phases import LEGS
from spreadload.units import MILLI, Lengths, capacity_milliamps, demand_milliamps

Unknown = Literal["every", "maps"]


@dataclass(frozen=True, eq=False)
class Facts:
    """A job worked out. Build it with ``Facts.of(job)``.

    Known by who it is, not by what is in it, so that what follows from it can be kept beside it.
    """

    job: Job
    supply: SupplyFacts
    circuits: dict[str, CircuitFacts]
    feeds: dict[str, FeedFacts]
    rcds: dict[str, RcdFacts]
    points: dict[str, Point]
    loads: dict[str, LoadFacts]
    leads: tuple[LeadFacts, ...]
    boards: tuple[BoardFacts, ...]
    boxes: dict[str, BoxFacts]
    demands: dict[str, tuple[Demand, ...]]
    route: RouteRule
    leads_are_assumed: bool = False
    unknown: Unknown = "every"

    @classmethod
    def of(cls, job: Job, unknown: Unknown = "every") -> "Facts":
        """Work out a job whose references have been checked.

        Args:
            job: The job.
            unknown: How a load at an outlet of unknown circuit counts: in full on ``every`` circuit
                it might be on, or only where it is so on all ``maps``, which then look after the
                rest.
        """
        job = with_contract_as_limit(job)
        supply = supply_facts(job)
        loads = load_facts(job, supply)
        listed, job = job, with_usual_leads(job, loads)
        circuits = holding_what_is_wired(job, circuit_facts(job, supply), loads)
        return cls(
            job=job,
            supply=supply,
            circuits=circuits,
            feeds=feed_facts(job, supply),
            rcds=rcd_facts(job),
            points=points(job, circuits, supply, is_left_to_maps=unknown == "maps"),
            loads=loads,
            leads=lead_facts(job),
            boards=board_facts(job),
            boxes=box_facts(job),
            demands={setup.id: demands(job, setup) for setup in job.setups},
            route=route_rule(job),
            leads_are_assumed=not listed.lists_leads,
            unknown=unknown,
        )

    def changed(self, job: Job) -> "Facts":
        """Return the facts of a job that was changed, outlets of unknown circuit counted alike."""
        return Facts.of(job, self.unknown)

    def only(self, setups: Iterable[str]) -> "Facts":
        """Return the facts of some set-ups; what counts as continuous stays that of the day."""
        wanted = frozenset(setups)
        part = replace(self, demands={s: d for s, d in self.demands.items() if s in wanted})
        # A frozen dataclass keeps cached properties in its dictionary.
        part.__dict__["continuous"] = self.continuous
        return part

    @cached_property
    def lengths(self) -> Lengths:
        """How lengths are told in the region of the job."""
        return lengths_of(self.job)

    @cached_property
    def continuous(self) -> frozenset[tuple[str, str]]:
        """(set-up, load) pairs that the region counts as continuous."""
        region = practice.region(self.job.region)
        if not region.has_continuous_rule:
            return frozenset()
        on = {s: {d.load for d in asked} for s, asked in self.demands.items()}
        found: set[tuple[str, str]] = set()
        for load_id, load in self.loads.items():
            if load.is_intermittent or self._is_alone_on_its_way(load_id):
                continue
            stated = self.job.loads.get(load_id)
            runs_on = stated is not None and runs_all_day(stated)
            runs = _runs([s.id for s in self.job.setups if load_id in on[s.id]], self.job)
            found |= {
                (setup_id, load_id)
                for run, length_h in runs
                if runs_on or length_h is None or length_h >= region.continuous.min_hours.value
                for setup_id in run
            }
        return frozenset(found)

    def _is_alone_on_its_way(self, load_id: str) -> bool:
        """Whether a load is wired to a way of the main board that takes no plug of ours.

        The rule of continuous loads sizes what is to be installed; what is there was sized, and its
        breaker holds its rating (UL 489). Behind the feed of a sub-board it goes on counting.
        """
        stated = self.job.loads.get(load_id)
        way = None if stated is None else self.circuits.get(stated.circuit or "")
        return way is not None and not way.can_feed_outlets and not way.feeds

    def contract_takes(self, load_id: str, circuit: str | None) -> int:
        """Return what one unit takes of the supply contract, in what that counts: W, or mA.

        A limiter that adds up both legs counts what is on two of them twice.

        Args:
            load_id: The load.
            circuit: The circuit it is wired to; None where it is plugged in.
        """
        contract = self.supply.contract
        if contract is None or contract.counted is Counted.WATTS:
            return self.loads[load_id].power_w
        if (load_id, circuit) not in self._contract_ma:
            poles = self._most_poles(load_id) if circuit is None else self.circuits[circuit].poles
            poles = min(poles, LEGS)
            self._contract_ma[load_id, circuit] = poles * self.unit_ma(load_id, poles)
        return self._contract_ma[load_id, circuit]

    @cached_property
    def _contract_ma(self) -> dict[tuple[str, str | None], int]:
        return {}

    def _most_poles(self, load_id: str) -> int:
        """Return the most poles a load uses wherever its own plug goes in."""
        plug = practice.plug(self.loads[load_id].plug)
        fitting = [p.poles for p in self.points.values() if plug.enters_outlet(p.plug)]
        return max((self.least_poles(load_id), *fitting))

    @cached_property
    def continuous_factor(self) -> float:
        """What a continuous load counts times."""
        return practice.region(self.job.region).continuous.factor.value

    @cached_property
    def single_load_fraction(self) -> float | None:
        """Largest share of a breaker that one plug-in unit may take, or None where no such rule."""
        stated = self.job.rules.single_load_fraction
        row = practice.region(self.job.region).single_load_fraction
        return stated if stated is not None else (row.value if row is not None else None)

    @cached_property
    def lead_drop_pct(self) -> float:
        """Largest drop along a lead in per cent of planning volts."""
        stated = self.job.rules.lead_drop_pct
        return stated or practice.region(self.job.region).lead_drop_pct.value

    @cached_property
    def total_drop_pct(self) -> float:
        """Guide for the drop from supply to head in per cent of planning volts."""
        stated = self.job.rules.total_drop_pct
        return stated or practice.region(self.job.region).total_drop_pct.value

    def unit_ma(self, load_id: str, poles: int) -> int:
        """Return the worst current of one unit on each of its poles [mA]."""
        return self.loads[load_id].unit_ma[poles]

    def counted_ma(self, setup_id: str, load_id: str, poles: int) -> int:
        """Return what one unit counts against breakers in a set-up [mA]."""
        if (setup_id, load_id) not in self.continuous:
            return self.unit_ma(load_id, poles)
        if (load_id, poles) not in self._continuous_ma:
            supply = self.supply
            draw = self.loads[load_id].draw
            current_a = draw.current_a(poles, supply.planning_v, supply.line_to_line_v).worst
            counted_ma = demand_milliamps(current_a * self.continuous_factor)
            self._continuous_ma[load_id, poles] = counted_ma
        return self._continuous_ma[load_id, poles]

    @cached_property
    def _continuous_ma(self) -> dict[tuple[str, int], int]:
        return {}

    @cached_property
    def with_plugs(self) -> frozenset[str]:
        """Circuits that something plugged in might be on; the others have wired loads alone."""
        points = self.points.values()
        return frozenset(name for point in points for name in point.exposure.might_be_on)

    @cached_property
    def tied(self) -> dict[str, frozenset[str]]:
        """Circuits that share a neutral, each with all that may go dark with it, itself too.

        Where it is done right they are on tied handles, or on one breaker of several poles
        (NEC 210.4(B); CSA C22.1 rule 14-010; from memory).
        """
        found: dict[str, frozenset[str]] = {}
        for name, way in self.job.circuits.items():
            other = way.shares_neutral_with
            if other in self.circuits:
                group = found.get(name, frozenset((name,))) | found.get(other, frozenset((other,)))
                found |= dict.fromkeys(group, group)
        return found

    def dark_with(self, circuits: frozenset[str]) -> frozenset[str]:
        """Return the circuits whose drop may take what hangs on some of them."""
        tied = (self.tied[name] for name in circuits if name in self.tied)
        return circuits.union(*tied)

    @cached_property
    def is_left_to_maps(self) -> bool:
        """Whether what some outlet counts on is left to the maps."""
        return any(point.exposure.left_to_maps for point in self.points.values())

    def least_poles(self, load_id: str) -> int:
        """Return the poles a load uses wherever it is plugged in; wired, those of its circuit."""
        stated = self.load_stated(load_id)
        if stated is not None and stated.circuit is not None:
            return self.circuits[stated.circuit].poles
        return practice.plug(self.loads[load_id].plug).phases

    def poles_at(self, load_id: str, point: Point) -> int:
        """Return the poles a load uses when plugged in at a point."""
        return max(self.least_poles(load_id), point.poles)

    @cached_property
    def _routes_m(self) -> dict[tuple[str, str], float]:
        return {}

    def route_m(self, place: str, point: Point) -> float:
        """Return the length of lead from a place to a point [m]; a box may stand on its cable."""
        if place == point.outlet:
            return 0.0
        key = (place, point.id)
        if key not in self._routes_m:
            ends = outlet_spot(self.job, point.outlet), spot(self.job, place)
            self._routes_m[key] = max(self.route.length_m(*ends) - point.box_cable_m, 0.0)
        return self._routes_m[key]

    def load_stated(self, load_id: str) -> Load | None:
        """Return a department's or house load as stated, or None for a head."""
        return self.job.departments.get(load_id) or self.job.house.get(load_id)

    def single_load_ma(self, circuit_id: str, load_id: str | None = None) -> int | None:
        """Return the most one plug-in unit may take on a circuit [mA], or None without a rule.

        Args:
            circuit_id: The circuit.
            load_id: Whose unit; any that keeps to the rule if left out.
        """
        fraction = self.single_load_fraction
        if fraction is None or (load_id is not None and self._is_above_the_shares(load_id)):
            return None
        return capacity_milliamps(self.circuits[circuit_id].breaker_ma / MILLI * fraction)

    def _is_above_the_shares(self, load_id: str) -> bool:
        """Whether a load may take more than the share of one; one that the job states stands."""
        stated = self.job.rules.single_load_fraction
        return stated is None and self.loads[load_id].may_fill_socket

    def socket_share_ma(self, load_id: str, point: Point, unit_ma: int) -> int:
        """Return what a unit counts against the share of a socket that one load may take [mA].

        What may fill the socket counts as the whole share at most, so that nothing else goes beside
        it; above the rating of the socket it counts in full.
        """
        if self.loads[load_id].may_fill_socket and unit_ma <= point.rated_ma:
            return min(unit_ma, point.socket_ma)
        return unit_ma

    def outlets_allowed(self, load_id: str) -> frozenset[str] | None:
        """Return the outlets a load is bound to, or None when it may go anywhere."""
        load = self.load_stated(load_id)
        if load is None:
            return None
        if load.outlet is not None:
            return frozenset({load.outlet})
        if load.room is not None:
            return frozenset(
                o for o, outlet in self.job.outlets.items() if outlet.room == load.room
            )
        return None

    def is_fixed_at(self, load_id: str, outlet_id: str) -> bool:
        """Whether the job fixes a load to this very outlet."""
        load = self.load_stated(load_id)
        return load is not None and load.outlet == outlet_id


def _runs(setup_ids: list[str], job: Job) -> list[tuple[list[str], float | None]]:
    """Return stretches of set-ups without a gap, each with its length [h] or None if unknown."""
    by_id = {setup.id: setup for setup in job.setups}
    runs: list[tuple[list[str], float | None]] = []
    for setup_id in setup_ids:
        setup = by_id[setup_id]
        length_h = hours(setup)
        if runs and length_h is not None and runs[-1][1] is not None:
            last = by_id[runs[-1][0][-1]]
            if last.to and setup.from_ and clock_minutes(last.to) == clock_minutes(setup.from_):
                run, so_far_h = runs[-1]
                runs[-1] = ([*run, setup_id], (so_far_h or 0.0) + length_h)
                continue
        runs.append(([setup_id], length_h))
    return runs
