"""What follows for the decisions of a model from where units are known to be."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence

from spreadload.derived.asked import Demand
from spreadload.solver.engine.excerpt import Ints
from spreadload.solver.large.placing import Placed
from spreadload.solver.model.candidates import Candidate, Run
from spreadload.solver.model.variables import RemoteBoard, Variables
from spreadload.solver.pieces.freed import Where
from spreadload.solver.staged.calls import Split


def fixed(v: Variables, split: Split) -> dict[int, int]:
    """Return the decisions that follow from where the units are alone."""
    known: dict[int, int] = defaultdict(int)
    for demand, options in v.options.items():
        for option in options:
            x = v.spread[demand, option.point.exposure]
            known[x.index] += split.get((demand, option.point.id), 0)
    return known | {x.index: split.get(where, 0) for where, x in v.at.items()}


def straight(v: Variables, split: Split) -> dict[int, int]:
    """Return the decisions that follow when each unit is on a run of its own."""
    known = fixed(v, split)
    known |= {x.index: split.get(where, 0) for where, x in v.straight.items()}
    on_boards = (v.boarded, v.remote, v.remote_of, v.board_of, v.seated)
    return known | {x.index: 0 for each in on_boards for x in each.values()}


def laid(v: Variables, values: Ints) -> dict[int, int]:
    """Return the decisions on where units are and how they get there, without figures of goals."""
    each = (v.at, v.spread, v.straight, v.boarded, v.remote, v.remote_of, v.board_of, v.seated)
    known = [x.index for some in (*each, v.lead_flow) for x in some.values()]
    return dict(zip(known, values[known].tolist(), strict=True))


def as_placed(v: Variables, placed: Placed) -> dict[int, int]:
    """Return the decisions that follow when boards stand where they were placed.

    What is on none of them is straight. A board is laid on the shortest lead that all its units
    allow.
    """
    known = straight(v, placed.split)
    at = {(demand, o.point.id): o for demand, options in v.options.items() for o in options}
    used: Counter[tuple[str, str, str | None, int]] = Counter()
    for units, point_id in sorted(placed.boards, key=lambda each: -_load_ma(at, *each)):
        run = _common_run(v, [at[unit, point_id] for unit in units])
        if run is None or run.board is None:
            continue
        setup_id, place = units[0].setup, units[0].place
        where = (setup_id, point_id, place, run.tier)
        nth = run.tier * v.facts.points[point_id].sockets
        nth += 0 if point_id in v.stacked else used[where]
        used[where] += 1
        board = v.remote_of.get(RemoteBoard(setup_id, point_id, place or "", nth, run.board))
        if board is None or any((unit, point_id, nth) not in v.remote for unit in units):
            continue
        known[board.index] += 1
        for unit in units:
            known[v.remote[unit, point_id, nth].index] += 1
            known[v.straight[unit, point_id].index] -= 1
    return known


def _load_ma(at: Mapping[Where, Candidate], units: Sequence[Demand], point_id: str) -> int:
    return sum(at[unit, point_id].unit_ma for unit in units)


def _common_run(v: Variables, options: Sequence[Candidate]) -> Run | None:
    """Return the run by the shortest lead on which all units can come by one board."""
    common = set(options[0].remote).intersection(*(option.remote for option in options))
    lengths_m = {run: min(v.facts.leads[lead].length_m for lead in run.leads) for run in common}
    return min(common, key=lambda run: (lengths_m[run], run.tier, run.board or 0), default=None)


def split_of(v: Variables, values: Sequence[int] | Ints) -> Split:
    """Return where the units are."""
    return {where: int(values[x.index]) for where, x in v.at.items() if values[x.index]}
