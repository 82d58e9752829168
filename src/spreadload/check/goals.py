"""The soft rules: what each is worth in a plan; smaller is better.

Every goal looks at the whole day and returns the causes of its value, so that the words and the
number can never disagree.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import chain, pairwise

from spreadload.check.state import Plugged, SetupState, Wired
from spreadload.check.stock import boards_used, leads_used
from spreadload.check.words import circuit_name, device_name, listed
from spreadload.job.preferences import Goal
from spreadload.plan import GoalValue
from spreadload.units import MILLI, whole_amps, whole_metres, whole_milliamps
from spreadload.words import count_of, in_setup, setup_names

LOWEST_PRIORITY = 9
LIT_HEADS_FOR_A_SPARE = 2
METRES_PER_PIECE = 2
EVEN_ENOUGH_A = 5


@dataclass(frozen=True, slots=True)
class Day:
    """All set-ups in order, and which of them ask for each load with a plug."""

    states: tuple[SetupState, ...]
    appearances: dict[str, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Cause:
    """One contribution to a goal's value."""

    value: int
    words: str


def goal_value(goal: Goal, day: Day) -> GoalValue:
    """Return the value of one soft rule with a short text."""
    causes = [cause for cause in _causes(goal, day) if cause.value > 0]
    text = listed(cause.words for cause in causes) if causes else KEPT[goal]
    return GoalValue(goal=goal.value, value=sum(cause.value for cause in causes), text=text)


def _causes(goal: Goal, day: Day) -> Iterable[Cause]:
    """Return what counts for a goal; what one set-up costs by itself is looked for once."""
    if goal in OF_THE_DAY:
        return GOALS[goal](day)
    for state in day.states:
        if goal not in state.causes:
            state.causes[goal] = tuple(GOALS[goal](Day((state,), day.appearances)))
    return chain.from_iterable(state.causes[goal] for state in day.states)


def keep_heads(day: Day) -> Iterator[Cause]:
    """A head left out costs its hundreds of watts, four times over for each priority."""
    for state in day.states:
        by_load = Counter(load.id for load in state.left_out)
        for load_id, count in sorted(by_load.items()):
            load = state.facts.loads[load_id]
            several = f"{count} " if count > 1 else ""
            yield Cause(
                load.left_out_cost * count, f"{several}{load.what} left out in {state.name}"
            )


def keep_house_on(day: Day) -> Iterator[Cause]:
    """Each unit switched off costs one."""
    for state in day.states:
        for demand in state.switched_off:
            what = state.facts.loads[demand.load].what
            yield Cause(demand.count, f"{what} off in {state.name}")


def discharge_apart(day: Day) -> Iterator[Cause]:
    """Big discharge heads beyond one that share a circuit, or the unproven outlets of a room."""
    for state in day.states:
        big = [unit for unit in state.plugged if unit.load.is_big_discharge]
        on_circuit = Counter(name for unit in big for name in unit.behind.circuits)
        for name, count in sorted(on_circuit.items()):
            yield _too_many_big(count - 1, f"on {circuit_name(state.facts, name)}", state.setup)
        in_room = Counter(
            unit.point.room
            for unit in big
            if unit.point.room is not None and not unit.point.is_proven
        )
        for room, count in sorted(in_room.items()):
            yield _too_many_big(count - 1, f"in {room}, whose wiring is unproven,", state.setup)


def _too_many_big(extra: int, where: str, setup: str) -> Cause:
    return Cause(
        extra, f"{count_of(extra, 'big discharge head')} too many {where}{in_setup(setup)}"
    )


def last_resort(day: Day) -> Iterator[Cause]:
    """Each head on a last-resort or kitchen outlet costs one."""
    for state in day.states:
        used = [unit.where for unit in state.heads if unit.behind.is_last_resort]
        words = f"{count_of(len(used), 'head')} on last-resort outlets in {state.name}"
        yield Cause(len(used), f"{words} ({', '.join(sorted(used))})")


def heat_apart(day: Day) -> Iterator[Cause]:
    """Each head that might share a circuit with a department's heat-maker costs one."""
    for state in day.states:
        loads: tuple[Plugged | Wired, ...] = (*state.plugged, *state.wired)
        heaters = [unit for unit in loads if unit.load.is_department_heat]
        hot = {name for unit in heaters for name in unit.behind.circuits}
        heads = state.heads
        for name in sorted(hot):
            count = sum(1 for unit in heads if name in unit.behind.circuits)
            on = circuit_name(state.facts, name)
            words = f"{count_of(count, 'head')} with a department's heat on {on} in {state.name}"
            yield Cause(count, words)


def light_stays(day: Day) -> Iterator[Cause]:
    """Each circuit whose drop might leave no head lit costs one."""
    for state in day.states:
        heads = state.heads
        if len(heads) >= LIT_HEADS_FOR_A_SPARE:
            shared = frozenset.intersection(
                *(state.facts.dark_with(unit.behind.might_be_on) for unit in heads)
            )
            for name in sorted(shared):
                on = circuit_name(state.facts, name)
                yield Cause(1, f"no light is sure to stay if {on} drops in {state.name}")


def leakage_guide(day: Day) -> Iterator[Cause]:
    """Each whole milliamp above the guide share of an RCD costs one."""
    for state in day.states:
        for rcd in state.facts.rcds.values():
            over_ma = whole_milliamps(max(0, state.leakage_ua(rcd.id) - rcd.guide_ua))
            words = f"{over_ma} mA over the leakage guide on RCD {rcd.id} in {state.name}"
            yield Cause(over_ma, words)


def tightest(day: Day) -> Iterator[Cause]:
    """The largest per cent used where plugs may count; the first of equals is named."""
    fullest = [(*state.fullest, state) for state in day.states if state.fullest]
    if fullest:
        used_pct, row, state = max(fullest, key=lambda entry: entry[0])
        name = device_name(state.facts, state.devices.rows[row])
        yield Cause(used_pct, f"{name} is at {used_pct} % in {state.name}")


def each_setup(day: Day) -> Iterator[Cause]:
    """The largest per cent used in each set-up, added up; nothing new on a day of one."""
    if len(day.states) == 1:
        return
    for state in day.states:
        fullest, _ = state.fullest or (0, 0)
        yield Cause(fullest, f"{state.name} is at {fullest} %")


def balance(day: Day) -> Iterator[Cause]:
    """Amps between the fullest and the emptiest phase, in steps a gaffer would notice."""
    for state in day.states:
        phases = [
            state.current_ma[row]
            for row, device in enumerate(state.devices.rows)
            if device.kind == "phase"
        ]
        if len(phases) > 1:
            apart_ma = max(phases) - min(phases)
            steps = apart_ma // (EVEN_ENOUGH_A * MILLI)
            lines = f"{state.facts.supply.line_word}s"
            words = f"{lines} differ by {whole_amps(apart_ma)} A in {state.name}"
            yield Cause(steps * EVEN_ENOUGH_A, words)


def replugs(day: Day) -> Iterator[Cause]:
    """Units lit in two consecutive appearances of their load that cannot keep their point."""
    lit = [state.points_by_load for state in day.states]
    for load_id, setups in sorted(day.appearances.items()):
        for before, after in pairwise(setups):
            was, now = lit[before].get(load_id, {}), lit[after].get(load_id, {})
            kept = sum(min(count, now.get(point, 0)) for point, count in was.items())
            moved = min(sum(was.values()), sum(now.values())) - kept
            if moved:
                state = day.states[after]
                load = state.facts.loads[load_id]
                several = f"{moved} " if moved > 1 else ""
                words = f"{several}{load.what} re-plugged between"
                names = setup_names((day.states[before].setup, state.setup))
                yield Cause(moved * load.replug_cost, f"{words} {names}")


def cable(day: Day) -> Iterator[Cause]:
    """Length of lead, and a little for every lead and power board to carry and tape down."""
    for state in day.states:
        leads = leads_used(state)
        lengths_m = [whole_metres(lead.length_m) for lead in leads]
        boards = len(boards_used(state))
        value = sum(lengths_m) + METRES_PER_PIECE * (len(leads) + boards)
        length = state.facts.lengths.whole(sum(lead.length_m for lead in leads))
        words = f"{length} in {count_of(len(leads), 'lead')}"
        more = f" and {count_of(boards, 'power board')}" if boards else ""
        yield Cause(value, f"{words}{more} in {state.name}")


GOALS: dict[Goal, Callable[[Day], Iterable[Cause]]] = {
    Goal.KEEP_HEADS: keep_heads,
    Goal.KEEP_HOUSE_ON: keep_house_on,
    Goal.DISCHARGE_APART: discharge_apart,
    Goal.LAST_RESORT: last_resort,
    Goal.HEAT_APART: heat_apart,
    Goal.LIGHT_STAYS: light_stays,
    Goal.LEAKAGE_GUIDE: leakage_guide,
    Goal.TIGHTEST: tightest,
    Goal.EACH_SETUP: each_setup,
    Goal.BALANCE: balance,
    Goal.REPLUGS: replugs,
    Goal.CABLE: cable,
}

# Every other goal adds up what each set-up costs by itself.
OF_THE_DAY = frozenset({Goal.TIGHTEST, Goal.EACH_SETUP, Goal.REPLUGS})

KEPT: dict[Goal, str] = {
    Goal.KEEP_HEADS: "every head is lit",
    Goal.KEEP_HOUSE_ON: "nothing of the house is switched off",
    Goal.DISCHARGE_APART: "big discharge heads are apart",
    Goal.LAST_RESORT: "no last-resort outlet is used",
    Goal.HEAT_APART: "no head shares a circuit with a department's heat",
    Goal.LIGHT_STAYS: "a light stays on whichever circuit drops",
    Goal.LEAKAGE_GUIDE: "leakage is within the guide everywhere",
    Goal.TIGHTEST: "nothing is loaded",
    Goal.EACH_SETUP: "the day has one set-up",
    Goal.BALANCE: "phases are even",
    Goal.REPLUGS: "nothing is re-plugged",
    Goal.CABLE: "no leads and no power boards",
}
