"""What stays at its outlet keeps the lead and the power board it hangs on, as far as that holds.

A search lays every lead anew, the shortest way; a crew that is told to move two plugs leaves the
other leads lying. The judge says what holds. Never imports the solver.
"""

from collections.abc import Iterator, Sequence

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Placement, Plan

# Judged plans of one set-up: each takes a millisecond in a house.
_MOST_TRIED = 300
_Units = dict[tuple[str, int], Placement]


def on_the_same_leads(facts: Facts, was: Plan, now: Plan) -> Plan:
    """Return a plan in which as much as can be hangs as it did; outlets are as they are in it.

    Args:
        facts: What the plan is judged on.
        was: What is rigged; units are numbered as in the plan.
        now: A plan that holds.
    """
    kept = [p for setup in facts.demands for p in _kept(facts, was, now, setup)]
    rest = (p for p in now.placements if p.setup not in facts.demands)
    plan = now.model_copy(update={"placements": (*kept, *rest)})
    # Of one set-up it holds; a search may have been held to more.
    return plan if Judge(facts).judge(plan).holds else now


def _kept(facts: Facts, was: Plan, now: Plan, setup: str) -> tuple[Placement, ...]:
    units = {(p.load, p.unit): p for p in now.placements if p.setup == setup}
    rigged = {(p.load, p.unit): p for p in was.placements if p.setup == setup}
    stay = [key for key, p in units.items() if key in rigged and rigged[key].point == p.point]
    judge = Judge(facts.only([setup]))
    dark = tuple(entry for entry in now.left_out if entry.setup == setup)
    off = tuple(entry for entry in now.switched_off if entry.setup == setup)

    def holds(tried: _Units) -> bool:
        placed = tuple(tried.values())
        return judge.judge(Plan(placements=placed, left_out=dark, switched_off=off)).holds

    whole = units | {key: rigged[key] for key in stay}
    if holds(whole):
        return tuple(whole.values())
    left = _MOST_TRIED
    for key in stay:
        for tried in _ways(units, rigged[key], key):
            left -= 1
            if holds(tried):
                units = tried
                break
        if left <= 0:
            break
    return tuple(units.values())


def _ways(units: _Units, old: Placement, key: tuple[str, int]) -> Iterator[_Units]:
    """Yield ways to hang one unit as it did: as it is, in its socket now, for another's lead."""
    now = units[key]
    if _run(now) == _run(old):
        return
    yield units | {key: old}
    here = old.model_copy(update={"socket": now.socket})
    yield units | {key: here}
    if old.lead is None or now.lead is None:
        return
    for other, p in units.items():
        if other != key and p.lead == old.lead:
            yield units | {key: here, other: p.model_copy(update={"lead": now.lead})}


def _run(p: Placement) -> Sequence[int | None]:
    return p.board, p.board_lead, p.lead
