"""A first plan without a solver: largest units first, each where most room is left.

It knows every limit a single unit can pass, but places once and never moves anything again, so it
may fail where a plan exists. It serves as a start for the search, and as the plan in hand on a site
too large for the search to find another in time.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass, field
from itertools import product

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.points import exposure
from spreadload.derived.records import Exposure
from spreadload.plan import Placement, Plan, Search
from spreadload.solver.model.candidates import Candidate, candidates
from spreadload.units import FULL_PCT

NOTHING_IMPROVED = "first plan, nothing improved"

Price = Callable[[bool, int, float], tuple[float, ...]]


@dataclass
class Greedy:
    """Places every unit of every set-up, straight, on its own cord or one lead."""

    facts: Facts
    options: dict[Demand, tuple[Candidate, ...]] = field(default_factory=dict)

    def plan(self) -> Plan | None:
        """Return a plan that was never refused room, or None when some unit found none."""
        placed: list[Placement] = []
        before: dict[tuple[str, int], str] = {}
        for setup_id in self.facts.demands:
            options = self._of(setup_id)
            here = _Setup(self.facts, setup_id, options, before, self.price())
            if not here.place_all(self.order(options)):
                return None
            placed += here.placed
            before |= {(p.load, p.unit): p.point for p in here.placed}
        return Plan(placements=tuple(placed), search=Search(gap=NOTHING_IMPROVED))

    def order(self, options: dict[Demand, tuple[Candidate, ...]]) -> list[Demand]:
        """Return the demands in the order of placing: no choice first, then the largest."""

        def largest_ma(demand: Demand) -> int:
            return max((o.unit_ma for o in options[demand]), default=0)

        return sorted(options, key=lambda d: (len(options[d]) > 1, -largest_ma(d), d))

    def price(self) -> Price:
        """Return what makes a point better: nothing moves, most room left, a short lead."""
        return lambda is_moved, fullest_pct, length_m: (is_moved, fullest_pct, length_m)

    def _of(self, setup_id: str) -> dict[Demand, tuple[Candidate, ...]]:
        found = {}
        for demand in self.facts.demands[setup_id]:
            if demand.circuit is None:
                if demand not in self.options:
                    self.options[demand] = candidates(self.facts, demand)
                found[demand] = self.options[demand]
        return found


@dataclass
class _Setup:
    """One set-up while it fills up."""

    facts: Facts
    setup_id: str
    options: dict[Demand, tuple[Candidate, ...]]
    before: dict[tuple[str, int], str]
    price: Price
    placed: list[Placement] = field(default_factory=list)
    used: dict[Hashable, int] = field(default_factory=lambda: defaultdict(int))
    leads: Counter[int] = field(default_factory=Counter)
    numbers: dict[str, set[int]] = field(default_factory=lambda: defaultdict(set))

    def place_all(self, order: list[Demand]) -> bool:
        """Place every unit in an order; whether all found room."""
        for demand in self.facts.demands[self.setup_id]:
            if demand.circuit is not None:
                self._wire(demand)
        return all(self._place(demand) for demand in order for _ in range(demand.count))

    def _wire(self, demand: Demand) -> None:
        circuit = self.facts.circuits[demand.circuit or ""]
        unit_ma = self.facts.unit_ma(demand.load, circuit.poles)
        counted_ma = self.facts.counted_ma(self.setup_id, demand.load, circuit.poles)
        on = exposure([circuit], None, frozenset())
        for name, _, amount in self._shares(on, demand, unit_ma, counted_ma):
            self.used[name] += amount * demand.count

    def _place(self, demand: Demand) -> bool:
        best: tuple[tuple[float, ...], Candidate, int | None] | None = None
        stayed = {p for (load, _), p in self.before.items() if load == demand.load}
        for option in self.options[demand]:
            run = option.run(None)
            lead = self._lead(run.leads) if run is not None else None
            if run is None or (run.leads and lead is None) or not self._has_room(option):
                continue
            length_m = self.facts.leads[lead].length_m if lead is not None else 0.0
            price = self.price(option.point.id not in stayed, self._fullest_pct(option), length_m)
            if best is None or price < best[0]:
                best = (price, option, lead)
        if best is None:
            return False
        self._take(best[1], best[2])
        return True

    def _lead(self, kinds: tuple[int, ...]) -> int | None:
        free = [n for n in kinds if self.leads[n] < self.facts.leads[n].count]
        return min(free, key=lambda n: self.facts.leads[n].length_m, default=None)

    def _has_room(self, option: Candidate) -> bool:
        point = option.point
        if point.box is not None or self.used["sockets", point.id] >= point.sockets:
            return False
        if self.used["plate", point.id] + option.unit_ma > point.plate_ma:
            return False
        return all(self.used[name] + amount <= cap for name, cap, amount in self._of(option))

    def _fullest_pct(self, option: Candidate) -> int:
        return max(
            (
                FULL_PCT * (self.used[n] + amount) // cap
                for n, cap, amount in self._of(option)
                if cap
            ),
            default=0,
        )

    def _of(self, option: Candidate) -> list[tuple[Hashable, int, int]]:
        on, demand = option.point.exposure, option.demand
        return list(self._shares(on, demand, option.unit_ma, option.counted_ma))

    def _shares(
        self, on: Exposure, demand: Demand, unit_ma: int, counted_ma: int
    ) -> Iterator[tuple[Hashable, int, int]]:
        """Yield (what, its limit, how much one unit takes of it)."""
        facts, load = self.facts, self.facts.loads[demand.load]
        for circuit, pole in on.circuits:
            yield ("circuit", circuit, pole), facts.circuits[circuit].cap_ma, counted_ma
        for feed, phase in on.feeds:
            yield ("feed", feed, phase), facts.feeds[feed].cap_ma, counted_ma
        for phase in on.phases:
            yield ("phase", phase), facts.supply.cap_ma, unit_ma
        for rcd, phase in product(on.rcds, on.phases):
            rating_ma = facts.rcds[rcd].rating_ma
            if rating_ma is not None:
                yield ("rcd amps", rcd, phase), rating_ma, unit_ma
        for rcd in on.rcds:
            yield ("leakage", rcd), facts.rcds[rcd].may_trip_ua, load.leakage_ua
        contract = facts.supply.contract
        if contract is not None:
            yield "contract", contract.cap, facts.contract_takes(demand.load, demand.circuit)

    def _take(self, option: Candidate, lead: int | None) -> None:
        demand, point = option.demand, option.point
        for name, _, amount in self._of(option):
            self.used[name] += amount
        self.used["sockets", point.id] += 1
        self.used["plate", point.id] += option.unit_ma
        if lead is not None:
            self.leads[lead] += 1
        self.placed.append(
            Placement(
                setup=self.setup_id,
                load=demand.load,
                unit=self._unit(demand.load, point.id),
                place=demand.place,
                point=point.id,
                socket=self.used["sockets", point.id],
                lead=lead,
            )
        )

    def _unit(self, load: str, point_id: str) -> int:
        """Return a free number, that of a unit which was there before if possible."""
        taken = self.numbers[load]
        same = [n for (name, n), p in self.before.items() if (name, p) == (load, point_id)]
        unit = next((n for n in sorted(same) if n not in taken), None)
        if unit is None:
            unit = next(n for n in range(1, len(taken) + 2) if n not in taken)
        taken.add(unit)
        return unit
