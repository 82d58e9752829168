"""What must be off, what may run and where: one more unit of each idle load, judged as it would be.

Never imports the solver: the plan stays as it is and only the extra unit is added.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property

from spreadload.check import Judge
from spreadload.check.words import in_100
from spreadload.derived.asked import Demand, starts_in
from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.electrical.rows import Figure
from spreadload.explain.breaks import clause, over_pct, telling
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.moves import once_freed, open_points, seats
from spreadload.explain.names import point_name
from spreadload.job.kit import Policy
from spreadload.plan import Placement, Plan, SwitchedOff, Violation
from spreadload.units import FULL_PCT
from spreadload.words import row

TRIED_OUTLETS = 6
LITTLE = Figure(0.01, source="one way in a hundred more is little to pay: our own choice")


@dataclass(frozen=True)
class Idle:
    """A load that is not running in a set-up and what one unit of it would do.

    Attributes:
        setup: Set-up id.
        load: Load id.
        by: Department, or "" for the house.
        is_agreed: Whether the job itself says that it must be off.
        is_switched_off: Whether the plan switches it off although it would run.
        holds_at: Points where one unit may run without passing any limit.
        freed_at: Points where its amps would do too, but every socket is taken.
        tried: How many points were tried; 0 for a hard-wired load.
        breaks: What it would break at its best point, with numbers; "" when it may run.
        over_pct: How far over that limit it would be [%], or None.
    """

    setup: str
    load: str
    by: str
    is_agreed: bool
    is_switched_off: bool
    holds_at: tuple[str, ...]
    freed_at: tuple[str, ...]
    tried: int
    breaks: str
    over_pct: int | None

    @property
    def who(self) -> str:
        """The load, and whose it is where it is not the house's."""
        return f"{self.load} ({self.by})" if self.by else self.load

    @property
    def why_off(self) -> str:
        """Who says that it is off, and what it would break; "" where nothing speaks against it."""
        share = "" if self.over_pct is None else f", {self.over_pct} %"
        breaks = f"{self.breaks}{share}" if self.breaks else ""
        if not (self.is_switched_off or self.is_agreed):
            return breaks
        agreed = "this plan switches it off" if self.is_switched_off else "agreed"
        return f"{agreed}; {breaks}" if breaks else agreed

    @property
    def must_be_off(self) -> bool:
        """Whether it may not run in this set-up with this plan."""
        return self.is_agreed or bool(self.breaks)

    @property
    def may_run_at(self) -> str:
        """Where one unit may run, in words; "" where it may not."""
        if self.must_be_off:
            return ""
        if any(self.holds_at):
            only = " only" if len(self.holds_at) < self.tried else ""
            return f"at {row(self.holds_at, 'or')}{only}"
        if self.freed_at:
            return f"at {row(self.freed_at, 'or')}, once a socket is free there"
        return "where it is wired" if self.holds_at else ""


def idle_loads(judged: JudgedPlan) -> tuple[Idle, ...]:
    """Return every department's and house load with units idle in a set-up."""
    job = judged.facts.job
    return tuple(
        _idle(judged, setup, load_id)
        for setup in judged.facts.demands
        for load_id in job.loads
        if _is_idle(judged, setup, load_id)
    )


def must_be_off(facts: Facts, judge: Judge, plan: Plan) -> tuple[Idle, ...]:
    """Return the loads that may not run beside a plan, per set-up, with what they would break."""
    return tuple(i for i in idle_loads(JudgedPlan.of(facts, judge, plan)) if i.must_be_off)


def must_stay_on(facts: Facts) -> tuple[str, ...]:
    """Return departments' and house loads that were agreed to stay on."""
    loads = facts.job.loads
    return tuple(name for name, load in loads.items() if load.policy is Policy.MUST_STAY_ON)


def _is_idle(judged: JudgedPlan, setup: str, load_id: str) -> bool:
    stated = judged.facts.load_stated(load_id)
    own = judged.facts.job.setup(setup)
    if stated is not None and stated.policy is Policy.MUST_STAY_ON:
        return False  # it waits for its hours; nobody has leave to keep it off, or need to start it
    if stated is not None and stated.starts_from is not None and not starts_in(stated, own):
        return False  # outside the hours in which it starts it draws nothing
    asked = sum(d.count for d in judged.facts.demands[setup] if d.load == load_id)
    return (setup, load_id) in judged.switched_off or asked < judged.facts.loads[load_id].count


def _idle(judged: JudgedPlan, setup: str, load_id: str) -> Idle:
    stated = judged.facts.load_stated(load_id)
    tried = _tried(judged, _Trial.of(judged, setup, load_id))
    breaks, over = tried.least_bad(judged.facts)
    return Idle(
        setup=setup,
        load=load_id,
        by=(stated.by or "") if stated else "",
        is_agreed=stated is not None and stated.policy is Policy.MUST_BE_OFF,
        is_switched_off=(setup, load_id) in judged.switched_off,
        holds_at=tuple(tried.holding),
        freed_at=tuple(tried.freed),
        tried=tried.points,
        breaks=breaks,
        over_pct=over,
    )


@dataclass
class _Tried:
    """What one unit more would do at the points tried, sorted by how it ends.

    Attributes:
        holding: Points where it may run.
        freed: Points where it may once a socket is free.
        worst: What it breaks elsewhere, the most telling at each point.
        odds: What is likely to trip elsewhere, where the wiring is not known, in words.
        points: How many were tried; a hard-wired load has none.
    """

    holding: list[str] = field(default_factory=list)
    freed: list[str] = field(default_factory=list)
    worst: list[Violation] = field(default_factory=list)
    odds: str = ""
    points: int = 0

    def least_bad(self, facts: Facts) -> tuple[str, int | None]:
        """Return what it breaks where that is least, "" if it may run, and by how much [%]."""
        if self.holding or self.freed:
            return "", None
        if self.odds:
            return self.odds, None
        if not self.worst:
            return "there is no outlet it may use", None
        least = min(self.worst, key=over_pct)
        over = over_pct(least) if least.unit in ("A", "W", "mA") else None
        return clause(facts, least), None if over is None else _up(over)


def _tried(judged: JudgedPlan, trial: "_Trial") -> _Tried:
    found = _Tried()
    likely_pct: list[float] = []
    for way in trial.ways():
        found.points += bool(way.name)
        violation = telling(judged.verdict.violations, way.violations)
        if violation is not None:
            found.worst.append(violation)
        elif way.more_pct > LITTLE.value * FULL_PCT:
            likely_pct.append(way.more_pct)
        else:
            (found.holding if way.is_seated else found.freed).append(way.name)
    if likely_pct:
        found.odds = trial.odds_in_words(min(likely_pct))
    return found


def _up(percent: float) -> int:
    return -int(-percent // 1)


@dataclass(frozen=True)
class _Way:
    """One unit more at one point: what it breaks, and how often where the wiring is not known."""

    name: str
    violations: tuple[Violation, ...]
    is_seated: bool = True
    more_pct: float = 0.0


@dataclass(frozen=True)
class _Trial:
    """What one unit more changes of a day, in a job that asks for it."""

    judged: JudgedPlan
    setup: str
    load: str
    place: str | None
    circuit: str | None
    unit: int

    @classmethod
    def of(cls, judged: JudgedPlan, setup: str, load_id: str) -> "_Trial":
        stated = judged.facts.load_stated(load_id)
        place = stated.place if stated else None
        circuit = stated.circuit if stated else None
        taken = {p.unit for p in judged.by_setup[setup] if p.load == load_id}
        unit = next(number for number in range(1, len(taken) + 2) if number not in taken)
        whole = replace(judged.facts, demands=_one_more(judged, setup, load_id, (place, circuit)))
        facts = whole.only({setup, *_counted_anew(judged.facts, whole)})
        plan = _with_on(judged.plan.only(facts.demands), setup, load_id)
        more = JudgedPlan(facts, Judge(facts), plan, judged.verdict, judged.fails_pct)
        return cls(more, setup, load_id, place, circuit, unit)

    def ways(self) -> Iterator[_Way]:
        """Yield what the unit does at each point that it may use."""
        judge, plan = self.judged.judge, self.judged.plan
        if self.circuit is not None:
            yield _Way("", judge.violations(plan))
            return
        for point in self._points():
            new = Placement(
                setup=self.setup, load=self.load, unit=self.unit, place=self.place, point=point.id
            )
            seat = next(seats(self.judged, new, point), None)
            placements = (*plan.placements, seat or once_freed(self.judged, new, point))
            more = plan.model_copy(update={"placements": placements})
            # Taken sockets are forgiven: amps tell what must be off.
            told = tuple(v for v in judge.violations(more) if seat or v.rule != "socket")
            more_pct = self._fails_pct(more) - self._before_pct
            yield _Way(point_name(point), told, seat is not None, more_pct)

    def odds_in_words(self, more_pct: float) -> str:
        """Return how often the set-up would trip with the unit, where circuits are not known."""
        before = self._before_pct
        return (
            f"the set-up would trip on {in_100(before + more_pct)} ways this house could be wired, "
            f"instead of {in_100(before)}"
        )

    @cached_property
    def _before_pct(self) -> float:
        return self._fails_pct(self.judged.plan)

    def _fails_pct(self, plan: Plan) -> float:
        fails_pct = self.judged.fails_pct
        return 0.0 if fails_pct is None else fails_pct(plan.only({self.setup}))

    def _points(self) -> list[Point]:
        open_to = open_points(self.judged, self.load)

        def room(point: Point) -> int:
            circuits = point.exposure.might_be_on
            return min((self.judged.room_ma(self.setup, c) for c in circuits), default=0)

        return sorted(open_to, key=lambda p: (-room(p), p.id))[:TRIED_OUTLETS]


def _counted_anew(was: Facts, now: Facts) -> set[str]:
    """Return the set-ups in which a load starts or ceases to count as continuous."""
    return {setup for setup, _ in was.continuous ^ now.continuous}


def _with_on(plan: Plan, setup: str, load: str) -> Plan:
    """Return a plan with a load on that it may have switched off in a set-up."""
    on = SwitchedOff(setup=setup, load=load)
    return plan.model_copy(
        update={"switched_off": tuple(off for off in plan.switched_off if off != on)}
    )


def _one_more(
    judged: JudgedPlan, setup: str, load_id: str, at: tuple[str | None, str | None]
) -> dict[str, tuple[Demand, ...]]:
    """Return what is asked with one unit more of a load, or with a switched-off load back on."""
    place, circuit = at
    asked = judged.facts.demands[setup]
    own = next((d for d in asked if d.load == load_id), None)
    is_off = (setup, load_id) in judged.switched_off
    count = 1 if own is None or is_off else own.count + 1
    rest = tuple(d for d in asked if d.load != load_id)
    more = Demand(setup, load_id, place, count, circuit)
    return judged.facts.demands | {setup: tuple(sorted((*rest, more), key=_order))}


def _order(demand: Demand) -> tuple[str, str]:
    return demand.load, demand.place or ""
