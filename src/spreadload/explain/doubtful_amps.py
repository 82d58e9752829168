"""Figures nobody read that stand behind a no: a plate or a meter may turn it into a yes."""

from collections.abc import Iterable, Iterator

from spreadload.derived.facts import Facts
from spreadload.plan import Conflict
from spreadload.units import MILLI, shown_amps


def doubtful_amps(facts: Facts, conflicts: Iterable[Conflict]) -> Iterator[str]:
    """Yield the loads that clash and are counted at an assumed worst, with what they may be.

    Plans hold for the worst figure; a list that cannot run may fail on nothing but that.
    """
    volts = (facts.supply.planning_v, facts.supply.line_to_line_v)
    for load_id in _clashing(conflicts):
        load = facts.loads[load_id]
        poles = facts.least_poles(load_id)
        best = shown_amps(load.draw.current_a(poles, *volts).best)
        worst = shown_amps(load.unit_ma[poles] / MILLI)
        if load.draw.is_assumed and best != worst:
            yield (
                f"{load_id} counts as {worst} A and may be {best} A ({load.draw.source}): "
                "read its plate or measure it first"
            )


def _clashing(conflicts: Iterable[Conflict]) -> dict[str, None]:
    """Return the heads and loads among the wishes of conflicts, each once."""
    paths = [member.path for conflict in conflicts for member in conflict.members]
    return dict.fromkeys(str(path[-1]) for path in paths if path[0] == "setups")
