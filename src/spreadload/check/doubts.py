"""What may still go wrong on volts with a plan that holds: a poorer supply, a motor that starts.

The judge goes by the likely supply; readings leave room for a poorer one. Nothing is refused here.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from spreadload.check import volts
from spreadload.check.judge import Judge
from spreadload.check.on_map import short_of_volts
from spreadload.check.state import SetupState
from spreadload.derived.asked import starts_in
from spreadload.electrical.behaviour import LoadClass
from spreadload.network.records import Case, Fixed, HouseVolts
from spreadload.plan import Plan, Violation
from spreadload.units import tenths_down, tenths_up
from spreadload.words import count_of, row


@dataclass(frozen=True, slots=True)
class ComesOn:
    """What happens when something starts by itself.

    Attributes:
        what: The load in crew words.
        was_on: Whether it is already counted as running in the set-up.
        running: The set-up with it running.
        starting: The set-up in the second it starts; None for what has no start of its own.
    """

    what: str
    was_on: bool
    running: HouseVolts
    starting: HouseVolts | None


@dataclass(frozen=True, slots=True)
class Doubt:
    """A set-up that holds on the likely supply and may fail all the same.

    Attributes:
        setup: Set-up id.
        brief: The doubt in a sentence or two, without the last full stop.
        details: Every limit that would be passed, in words.
    """

    setup: str
    brief: str
    details: tuple[str, ...]


def doubts(judge: Judge, plan: Plan) -> tuple[Doubt, ...]:
    """Return what may go wrong with the volts of a plan, on a supply that was measured."""
    if not judge.house.service.may_refuse:
        return ()
    found: list[Doubt] = []
    for state in judge.states(plan):
        if state.volts is not None and not any(short_of_volts(state)):
            found += _poorer_supply(judge, state)
            found += _starts(judge, state)
    return tuple(found)


def comes_on(judge: Judge, state: SetupState) -> Iterator[ComesOn]:
    """Yield what starts by itself in a set-up, running and in the second it starts.

    What starts at stated hours only does not come on outside them.
    """
    facts, house = judge.facts, judge.house
    units = [volts.hung(u) for u in state.plugged]
    wired = [volts.fixed(w) for w in state.wired]
    setup = facts.job.setup(state.setup)
    for load_id, load in (facts.job.house | facts.job.departments).items():
        if not load.starts_by_itself or load.circuit is None:
            continue
        was_on = any(item.load == load_id for item in wired)
        if not was_on and not starts_in(load, setup):
            continue
        more = wired if was_on else [*wired, Fixed(load_id, load.count, load.circuit)]
        running = house.solve(state.setup, units, more)
        is_motor = house.behaves[load_id].load_class is LoadClass.MOTOR
        starting = (
            house.solve(state.setup, units, more, Case(starting=load_id)) if is_motor else None
        )
        yield ComesOn(facts.loads[load_id].what, was_on, running, starting)


def _poorer_supply(judge: Judge, state: SetupState) -> Iterator[Doubt]:
    """Yield what the worst supply that the readings allow would do."""
    service = judge.house.service
    seen = judge.house.solve(
        state.setup,
        [volts.hung(u) for u in state.plugged],
        [volts.fixed(w) for w in state.wired],
        Case(service_ohm=service.high_ohm),
    )
    passed = list(short_of_volts(replace(state, volts=seen)))
    if not passed:
        return
    yield Doubt(
        state.setup,
        f"{state.name} holds on the supply as it most likely is; were it as poor as "
        f"the readings allow, {_what_then(seen, passed)}. Read again with a larger load",
        tuple(violation.text for violation in passed),
    )


def _what_then(seen: HouseVolts, passed: list[Violation]) -> str:
    if seen.collapse:
        return "the volts would collapse"
    if not seen.short:
        return f"it would not: {passed[0].text}"
    return _heads_short(seen)


def _heads_short(seen: HouseVolts) -> str:
    least, rest = seen.short[0], len(seen.short) - 1
    more = f"; {count_of(rest, 'more head')} would get too little as well" if rest else ""
    return (
        f"{least.load} would get {tenths_down(least.volts)} V of the {tenths_up(least.min_v)} V it "
        f"works from{more}"
    )


def _starts(judge: Judge, state: SetupState) -> Iterator[Doubt]:
    """Yield heads that would drop out in the second a motor starts by itself."""
    for event in comes_on(judge, state):
        start = event.starting
        # What is agreed to be off, or has its own time, does not start in this set-up.
        if not event.was_on or start is None or not (start.short or start.collapse):
            continue
        when = f"{state.name}, each time {event.what} starts by itself: "
        if start.collapse:
            yield Doubt(state.setup, f"{when}{start.collapse}", ())
            continue
        loads = dict.fromkeys(unit.load for unit in start.short)
        cools = any(judge.facts.loads[load].replug_cost > 1 for load in loads)
        yield Doubt(
            state.setup,
            f"{when}the board dips to {tenths_down(start.board_v)} V for a second or so and "
            f"{row(loads)} may go out{', to light again only when cool' if cools else ''}",
            (),
        )
