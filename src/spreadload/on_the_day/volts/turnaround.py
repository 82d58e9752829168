"""The order of switching on, and of killing, moving and striking between set-ups.

What goes is killed before anything new is lit, so every moment is a part of the set-up before or of
the one after; each such part is held against the judge's sums all the same, and where one passes a
limit another order is tried. Never uses the solver.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from spreadload.check import Judge
from spreadload.check.state import Plugged, SetupState
from spreadload.check.words import device_name
from spreadload.derived.facts import Facts
from spreadload.electrical.inrush import StartKind, StartLoad
from spreadload.electrical.starting import StrikeStep, striking_order
from spreadload.errors import InternalError
from spreadload.job.kit import Ballast, LoadKind
from spreadload.network.classes import stated
from spreadload.on_the_day.scene.devices import device_of
from spreadload.on_the_day.volts.ahead import ahead_of
from spreadload.plan import Placement, Plan
from spreadload.units import MILLI

_KINDS = {
    LoadKind.TUNGSTEN: StartKind.TUNGSTEN,
    LoadKind.MOTOR: StartKind.MOTOR,
    LoadKind.HEATER: StartKind.STEADY,
}
_LAMPS = frozenset({LoadKind.DISCHARGE, LoadKind.FLUORESCENT})
# A unit to switch, what is on then, and the limits passed.
_Moment = tuple[Plugged, list[Plugged], tuple[str, ...]]
NOT_ABOUT_LIMITS = frozenset({"missing", "unknown", "switch off"})


class Do(StrEnum):
    """What to do with a unit."""

    KILL = "kill"
    MOVE = "move"
    STRIKE = "strike"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do.

    Attributes:
        what: The unit in crew words.
        point: Outlet it leaves, or comes to.
        place: Where it stands then, or "".
        not_before_min: Minutes after the kill before it may be lit [min]; 0 for what is cold.
        wait_s: How long to wait before the next step [s].
        warnings: Devices that may open at this moment even in the best order.
        passes: Limits passed at this moment, as the judge words them.
    """

    do: Do
    load: str
    what: str
    point: str
    place: str
    not_before_min: int = 0
    wait_s: float = 0.0
    warnings: tuple[str, ...] = ()
    passes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Turn:
    """From one set-up to the next; ``before`` is "" for the first of the day."""

    before: str
    after: str
    steps: tuple[Step, ...]
    stays: tuple[str, ...]

    @property
    def is_safe(self) -> bool:
        """Whether no step passes a limit or comes near a breaker's instantaneous band."""
        return not any(step.warnings or step.passes for step in self.steps)


def turns(judge: Judge, plan: Plan) -> tuple[Turn, ...]:
    """Return how to get from dark to the first set-up and from each set-up to the next."""
    states = judge.states(plan)
    if not states:
        return ()
    return (
        _turn(judge, plan, None, states[0]),
        *(_turn(judge, plan, before, after) for before, after in pairwise(states)),
    )


def _turn(judge: Judge, plan: Plan, before: SetupState | None, after: SetupState) -> Turn:
    was = before.plugged if before is not None else ()
    staying, leaving, coming = _matched(was, after.plugged)
    if before is None:  # the house runs before the crew comes
        staying = [unit for unit in coming if unit.load.id in judge.facts.job.house]
        coming = [unit for unit in coming if unit not in staying]
    moved = _moved(judge.facts, was, leaving, coming)
    steps = list(_kills(judge, plan, before, leaving))
    steps += [_move(judge.facts, unit) for unit in coming if unit in moved]
    steps += _strikes(judge, (after, staying, coming), moved, plan)
    return Turn(
        before=before.setup if before is not None else "",
        after=after.setup,
        steps=tuple(steps),
        stays=tuple(_said(unit) for unit in staying if unit.load.is_head),
    )


def _matched(
    was: Sequence[Plugged], now: Sequence[Plugged]
) -> tuple[list[Plugged], list[Plugged], list[Plugged]]:
    """Return what stays where it is, what leaves and what comes; identical units cancel."""
    kept = Counter(map(_spot, was)) & Counter(map(_spot, now))
    leaving = _beyond(was, kept)
    coming = _beyond(now, kept)
    return [unit for unit in now if unit not in coming], leaving, coming


def _spot(unit: Plugged) -> tuple[str, str, str | None]:
    return unit.load.id, unit.point.id, unit.demand.place


def _beyond(units: Sequence[Plugged], kept: Counter[tuple[str, str, str | None]]) -> list[Plugged]:
    left, beyond = Counter(kept), []
    for unit in units:
        if left[_spot(unit)]:
            left[_spot(unit)] -= 1
        else:
            beyond.append(unit)
    return beyond


def _moved(
    facts: Facts, was: Sequence[Plugged], leaving: Sequence[Plugged], coming: Sequence[Plugged]
) -> list[Plugged]:
    """Return what has to come from a unit just killed; cold spares on the van go first.

    Units of a kind are alike: those are said to move that were killed under the same number.
    """
    moved: list[Plugged] = []
    for load_id in dict.fromkeys(unit.load.id for unit in coming):
        wanted = [unit for unit in coming if unit.load.id == load_id]
        spare = facts.loads[load_id].count - sum(unit.load.id == load_id for unit in was)
        freed = {unit.unit for unit in leaving if unit.load.id == load_id}
        hot = min(len(freed), max(0, len(wanted) - max(0, spare)))
        wanted.sort(key=lambda unit: unit.unit in freed)
        moved += wanted[len(wanted) - hot :]
    return moved


def _kills(
    judge: Judge, plan: Plan, before: SetupState | None, leaving: Sequence[Plugged]
) -> Iterator[Step]:
    """Yield what to switch off, largest first, or the next that passes no limit, each judged.

    On several lines a load holds the others up: it empties the neutral, so the largest may have to
    wait for its like on another line.
    """
    if before is None:
        return
    on, left = list(before.plugged), sorted(leaving, key=lambda u: (-u.unit_ma, u.where))
    while left:
        tried = ((unit, _without(on, unit)) for unit in left)
        judged = ((u, rest, _passes(judge, plan, before.setup, rest)) for u, rest in tried)
        unit, on, passes = _first_safe(judged)
        left.remove(unit)
        yield Step(Do.KILL, unit.load.id, unit.name, unit.point.id, _place(unit), passes=passes)


def _without(on: Sequence[Plugged], unit: Plugged) -> list[Plugged]:
    return [other for other in on if other is not unit]


def _first_safe(judged: Iterable[_Moment]) -> _Moment:
    """Return the first moment that passes no limit, else the first of all."""
    first: _Moment | None = None
    for moment in judged:
        if not moment[2]:
            return moment
        first = first or moment
    if first is None:
        raise InternalError("nothing is left to switch")
    return first


def _move(facts: Facts, unit: Plugged) -> Step:
    minutes = _cool_down_min(facts, unit)
    return Step(
        Do.MOVE, unit.load.id, unit.name, unit.point.id, _place(unit), not_before_min=minutes
    )


def _strikes(
    judge: Judge,
    which: tuple[SetupState, Sequence[Plugged], Sequence[Plugged]],
    moved: Sequence[Plugged],
    plan: Plan,
) -> Iterator[Step]:
    """Yield what to switch on: what is cold first, then what had to cool down."""
    after, staying, coming = which
    on = list(staying)
    waits = {
        unit.where: _cool_down_min(judge.facts, unit) if unit in moved else 0 for unit in coming
    }
    for minutes in sorted(set(waits.values())):
        left = [unit for unit in coming if waits[unit.where] == minutes]
        while left:
            in_turn = [_named(left, step) for step in _order(judge, after, on, left)]
            tried = ((unit, [*on, unit]) for unit in in_turn)
            judged = ((u, lit, _passes(judge, plan, after.setup, lit)) for u, lit in tried)
            unit, lit, passes = _first_safe(judged)
            (step,) = _order(judge, after, on, [unit])
            on = lit
            left.remove(unit)
            yield Step(
                Do.STRIKE,
                unit.load.id,
                unit.name,
                unit.point.id,
                _place(unit),
                not_before_min=minutes,
                wait_s=step.wait_s,
                warnings=_warnings(judge.facts, after, step),
                passes=passes,
            )


def _named(group: Sequence[Plugged], step: StrikeStep) -> Plugged:
    return next(unit for unit in group if unit.where == step.load.name)


def _order(
    judge: Judge, after: SetupState, on: Sequence[Plugged], group: Sequence[Plugged]
) -> tuple[StrikeStep, ...]:
    facts = judge.facts
    rows = {row for unit in group for row in unit.behind.rows}
    known = ((row, device_of(facts, after.devices.rows[row])) for row in rows)
    protective = {row: device for row, device in known if device is not None}
    running = {
        str(row): sum(u.unit_ma for u in on if row in u.behind.rows) / MILLI
        + sum(w.unit_ma * w.count for w in after.wired if row in w.behind.rows) / MILLI
        for row in protective
    }
    loads = [
        StartLoad(
            unit.where,
            unit.unit_ma / MILLI,
            start_kind(facts, unit.load.id),
            tuple(str(row) for row in unit.behind.rows if row in protective),
            ahead=ahead_of(judge, unit),
        )
        for unit in group
    ]
    devices = {str(row): device for row, device in protective.items()}
    return striking_order(loads, devices, running_a=running)


def _warnings(facts: Facts, state: SetupState, step: StrikeStep) -> tuple[str, ...]:
    return tuple(
        f"{device_name(facts, state.devices.rows[int(row)])}: {verdict.words}"
        for row, verdict in step.verdicts.items()
        if verdict.outcome.value != "safe"
    )


def start_kind(facts: Facts, load_id: str) -> StartKind:
    """Return how a load of the job starts; unknown electronics start as drivers do."""
    load = stated(facts, load_id)
    if load.kind in _LAMPS and load.ballast is Ballast.MAGNETIC:
        return StartKind.MAGNETIC_DISCHARGE
    return _KINDS.get(load.kind, StartKind.DRIVER)


def _passes(judge: Judge, plan: Plan, setup: str, on: Sequence[Plugged]) -> tuple[str, ...]:
    """Return the limits a part of a set-up passes, by the judge's own sums."""
    lit = {(unit.load.id, unit.unit) for unit in on}
    placements: tuple[Placement, ...] = tuple(
        p for p in plan.placements if p.setup == setup and (p.load, p.unit) in lit
    )
    off = tuple(entry for entry in plan.switched_off if entry.setup == setup)
    told = judge.judge(Plan(placements=placements, switched_off=off))
    return tuple(
        violation.text
        for violation in told.violations
        if violation.setup == setup and violation.rule not in NOT_ABOUT_LIMITS
    )


def _cool_down_min(facts: Facts, unit: Plugged) -> int:
    return facts.loads[unit.load.id].replug_cost - 1


def _place(unit: Plugged) -> str:
    return unit.demand.place or ""


def _said(unit: Plugged) -> str:
    return f"{unit.name} at {_place(unit)}" if _place(unit) else unit.name
