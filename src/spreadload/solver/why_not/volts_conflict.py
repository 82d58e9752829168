"""Why the volts say no although every breaker says yes: the loads that are too much for the supply.

Everything is hung at the main board itself, where no wiring, lead or split takes any volts: what
fails there fails however it is plugged in. Loads are then given up while the rest still fails.
"""

from spreadload.derived.facts import Facts
from spreadload.network.house import House
from spreadload.network.records import HouseVolts
from spreadload.plan import Conflict, Member
from spreadload.solver.why_not.requirement import Requirement
from spreadload.solver.why_not.requirements import requirements
from spreadload.units import shown_amps, tenths_down, tenths_up
from spreadload.words import setup_name

REMEDY = (
    "less on at once, heads that work at lower volts, or power from elsewhere; no other split and "
    "no thicker lead helps"
)


def volts_conflict(facts: Facts, setup: str) -> Conflict | None:
    """Return the loads of a set-up that the supply cannot give their volts together, or None.

    Minimal: without any one of the loads the board would keep its volts. Supplies of one line only.
    """
    house = House(facts)
    if not house.service.may_refuse or len(facts.supply.phases) > 1:
        return None
    asked = {
        need.name: (need, _count(facts, setup, need.name))
        for need in requirements(facts, setup)
        if need.is_wish
    }
    everything = _at_board(house, setup, asked)
    if not _fails(everything):
        return None
    kept = dict(asked)
    for name in sorted(asked, key=lambda load: asked[load][0].rank):
        fewer = {other: each for other, each in kept.items() if other != name}
        if _fails(_at_board(house, setup, fewer)):
            kept = fewer
    needs = [need for need, _ in sorted(kept.values(), key=lambda each: -each[0].rank)]
    return Conflict(
        kind="volts",
        setup=setup,
        headline=_headline(setup, everything, facts),
        remedy=REMEDY,
        members=(
            *(Member(words=need.words, path=need.path, is_sure=True) for need in needs),
            Member(
                words=f"the supply: {tenths_down(house.service.idle_v)} V with nothing on, "
                f"impedance {house.service.words}",
                path=("supply", "readings"),
                is_sure=True,
            ),
        ),
    )


def _count(facts: Facts, setup: str, load: str) -> int:
    return sum(d.count for d in facts.demands[setup] if d.load == load and not d.may_be_off)


def _at_board(house: House, setup: str, asked: dict[str, tuple[Requirement, int]]) -> HouseVolts:
    return house.at_the_board(setup, [(load, count) for load, (_, count) in asked.items()])


def _fails(load: HouseVolts) -> bool:
    return bool(load.collapse or load.short)


def _headline(setup: str, load: HouseVolts, facts: Facts) -> str:
    if load.collapse:
        return f"every breaker says yes, the volts say no: in {setup_name(setup)} {load.collapse}"
    worst = max(load.short, key=lambda unit: (unit.min_v, facts.unit_ma(unit.load, 1)))
    amps, board = shown_amps(max(load.line_a)), tenths_down(load.board_v)
    return (
        f"every breaker says yes, the volts say no: {setup_name(setup)} takes {amps} A, which "
        f"pulls the board itself down to {board} V; {facts.loads[worst.load].what} works from "
        f"{tenths_up(worst.min_v)} V"
    )
