"""One judged plan with quick look-ups: who is where, what each device carries, what a socket holds.

Never imports the solver: a plan written by hand is explained like any other.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property

from spreadload.check import Judge
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.records import LoadFacts, Point
from spreadload.plan import Placement, Plan, Usage, Verdict
from spreadload.units import MILLI

Group = tuple[str, str, str | None, str]


@dataclass(frozen=True)
class JudgedPlan:
    """A plan, what the judge says of it, and the judge itself for trying changes.

    Attributes:
        fails_pct: In how many of 100 possible wirings a plan fails; None where circuits are known.
    """

    facts: Facts
    judge: Judge
    plan: Plan
    verdict: Verdict
    fails_pct: Callable[[Plan], float] | None = None

    @classmethod
    def of(
        cls,
        facts: Facts,
        judge: Judge,
        plan: Plan,
        fails_pct: Callable[[Plan], float] | None = None,
    ) -> "JudgedPlan":
        """Judge a plan."""
        return cls(facts, judge, plan, judge.judge(plan), fails_pct)

    @cached_property
    def own_pct(self) -> float:
        """In how many of 100 possible wirings this plan fails."""
        return 0.0 if self.fails_pct is None else self.fails_pct(self.plan)

    @cached_property
    def known(self) -> tuple[Placement, ...]:
        """Placements at a point of the job that its set-ups ask for; the judge counts no other."""
        return tuple(
            p
            for p in self.plan.placements
            if p.point in self.facts.points and self.demand(p) is not None
        )

    @cached_property
    def by_setup(self) -> dict[str, tuple[Placement, ...]]:
        """Known placements of every set-up, in the order of the day."""
        found: dict[str, list[Placement]] = {setup: [] for setup in self.facts.demands}
        for placement in self.known:
            found[placement.setup].append(placement)
        return {setup: tuple(placements) for setup, placements in found.items()}

    @cached_property
    def usages(self) -> dict[str, tuple[Usage, ...]]:
        """What every device carries, per set-up."""
        found: dict[str, list[Usage]] = defaultdict(list)
        for usage in self.verdict.usages:
            found[usage.setup].append(usage)
        return {setup: tuple(found[setup]) for setup in self.facts.demands}

    @cached_property
    def contract(self) -> dict[str, Usage]:
        """What each set-up takes of the supply contract; empty where there is none."""
        return {usage.setup: usage for usage in self.verdict.contract}

    def limits(self, setup: str) -> tuple[Usage, ...]:
        """Return every device of a set-up, the contract and what harmonics put on the neutral."""
        verdict = self.verdict
        beside = (usage for usage in (*verdict.contract, *verdict.neutral) if usage.setup == setup)
        return (*self.usages[setup], *beside)

    def fullest(self, setup: str) -> Usage | None:
        """Return the fullest limit of a set-up, the first of equals."""
        with_plugs = (usage for usage in self.limits(setup) if usage.takes_plugs)
        return max(with_plugs, key=lambda usage: usage.used_pct, default=None)

    @cached_property
    def groups(self) -> dict[Group, tuple[Placement, ...]]:
        """Identical units at one point of one set-up, by (set-up, load, place, point)."""
        found: dict[Group, list[Placement]] = defaultdict(list)
        for p in self.known:
            found[p.setup, p.load, p.place, p.point].append(p)
        return {group: tuple(units) for group, units in found.items()}

    @cached_property
    def switched_off(self) -> frozenset[tuple[str, str]]:
        """(set-up, load) pairs that the plan switches off."""
        return frozenset((entry.setup, entry.load) for entry in self.plan.switched_off)

    def point(self, placement: Placement) -> Point:
        """Return the point of a known placement."""
        return self.facts.points[placement.point]

    def load(self, placement: Placement) -> LoadFacts:
        """Return the load of a known placement."""
        return self.facts.loads[placement.load]

    def unit_ma(self, placement: Placement) -> int:
        """Return the worst current of the unit where it is plugged in [mA]."""
        poles = self.facts.poles_at(placement.load, self.point(placement))
        return self.facts.unit_ma(placement.load, poles)

    def demand(self, placement: Placement) -> Demand | None:
        """Return the demand a placement serves, or None when nothing asks for it."""
        asked = self.facts.demands.get(placement.setup, ())
        own = [d for d in asked if d.load == placement.load and d.circuit is None]
        exact = next((d for d in own if d.place == placement.place), None)
        # The place may be left away where a load stands at one place only.
        is_sole = len(own) == 1 and None in (placement.place, own[0].place)
        return own[0] if exact is None and is_sole else exact

    def sockets(self, setup: str, point: str) -> dict[int, list[Placement]]:
        """Return what is in each used socket of a point."""
        held: dict[int, list[Placement]] = defaultdict(list)
        for placement in self.by_setup[setup]:
            if placement.point == point:
                held[placement.socket].append(placement)
        return held

    def leads_out(self, setup: str) -> Counter[int]:
        """Return how many leads of each kind a set-up uses."""
        found = Counter(p.lead for p in self.by_setup[setup] if p.lead is not None)
        boards = {(p.point, p.socket, p.board_lead) for p in self.by_setup[setup]}
        found.update(lead for _, _, lead in boards if lead is not None)
        return found

    def boards_out(self, setup: str) -> Counter[int]:
        """Return how many power boards of each kind a set-up uses."""
        seats = {(p.point, p.socket, p.board) for p in self.by_setup[setup] if p.board is not None}
        return Counter(board for _, _, board in seats)

    def room_ma(self, setup: str, circuit: str) -> int:
        """Return what a circuit can still take on its fullest pole [mA]."""
        poles = [u for u in self.usages[setup] if u.kind == "circuit" and u.id == circuit]
        return min((round((u.limit_a - u.counted_a) * MILLI) for u in poles), default=0)

    def leakage_ua(self, setup: str, rcd: str) -> int:
        """Return standing leakage of everything that might be behind an RCD [µA]."""
        plugged = sum(
            self.load(p).leakage_ua
            for p in self.by_setup[setup]
            if rcd in self.point(p).exposure.rcds
        )
        wired = sum(
            self.facts.loads[d.load].leakage_ua * d.count
            for d in self.wired(setup)
            if rcd in self.facts.circuits[d.circuit or ""].rcds
        )
        return plugged + wired

    def wired(self, setup: str) -> tuple[Demand, ...]:
        """Return hard-wired demands that are on in a set-up."""
        return tuple(
            d
            for d in self.facts.demands[setup]
            if d.circuit is not None and (setup, d.load) not in self.switched_off
        )


def fullest_pct(usages: Iterable[Usage]) -> int:
    """Return the largest per cent used; 0 for none."""
    return max((usage.used_pct for usage in usages), default=0)
