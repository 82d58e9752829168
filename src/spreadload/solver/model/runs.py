"""The decisions on how each unit gets to its point: straight, on a power board, on which leads.

They come second because most rules and goals look only at which point a unit is on. A search can
settle those on a model a third of the size, and lay the runs when it has.
"""

from spreadload.derived.records import BoardFacts
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.model.candidates import Candidate
from spreadload.solver.model.variables import RemoteBoard, Variables, total


def lay_runs(v: Variables) -> None:
    """Create the run decisions and hold them to the units at every point; only once."""
    if v.straight or v.boarded or v.remote:
        return
    for setup_id in v.setups():
        for demand in v.plugged(setup_id):
            for option in v.options[demand]:
                _lay(v, option)
        _name_boards(v, setup_id)


def _lay(v: Variables, option: Candidate) -> None:
    """Count the units of a demand at a point by the way they get there."""
    demand, point = option.demand, option.point
    there = v.at[demand, point.id]
    lying, standing = _boards_lying(v, option), _boards_standing(v, option)
    ways: list[cp_model.IntVar] = []
    if option.run(None) is not None:
        most = v.upper(there) if point.id in v.stacked else min(v.upper(there), point.sockets)
        if not lying and not standing and most == v.upper(there):
            v.straight[demand, point.id] = there  # there is no other way
            return
        ways.append(v.model.new_int_var(0, most, f"{_said(option)} straight"))
        v.straight[demand, point.id] = ways[0]
    ways += [_lay_boarded(v, option, nth) for nth in lying]
    ways += [_lay_remote(v, option, nth) for nth in standing]
    v.model.add(there == total(ways))


def _boards_lying(v: Variables, option: Candidate) -> range:
    """Return the numbers of the boards that lie at a point, told apart, for units of a demand."""
    is_open = option.can_board and option.point.id not in v.stacked and _most_lying(v, option) > 0
    return range(v.board_count(option.point.id) if is_open else 0)


def _most_lying(v: Variables, option: Candidate) -> int:
    kinds = {run.board for run in option.runs}
    boards = [board for board in v.facts.boards if board.index in kinds]
    most_ma = min(option.point.socket_ma, max(board.rating_ma for board in boards))
    return _most(option, most_ma, max(board.ways for board in boards))


def _lay_boarded(v: Variables, option: Candidate, nth: int) -> cp_model.IntVar:
    """Let units sit on a power board that lies at the point."""
    units = v.model.new_int_var(0, _most_lying(v, option), f"{_said(option)} on board {nth + 1}")
    v.boarded[option.demand, option.point.id, nth] = units
    return units


def _boards_standing(v: Variables, option: Candidate) -> list[int]:
    """Return the numbers of the boards, each on one lead, at the place of the units."""
    if option.demand.place is None or not option.remote:
        return []
    most = min(v.board_count(option.point.id), _useful(v, option))
    tiers = sorted({run.tier for run in option.remote})
    return [tier * option.point.sockets + n for tier in tiers for n in range(most)]


def _useful(v: Variables, option: Candidate) -> int:
    """Return how many boards at their place the units there can make use of, from one point."""
    demand = option.demand
    beside = [d for d in v.plugged(demand.setup) if d.place == demand.place]
    return min(option.point.sockets, sum(d.count for d in beside) // 2)


def _lay_remote(v: Variables, option: Candidate, nth: int) -> cp_model.IntVar:
    """Let units sit on a power board at their own place."""
    demand, point = option.demand, option.point
    tier = v.tier(point.id, nth)
    boards = [v.facts.boards[r.board or 0] for r in option.remote if r.tier == tier]
    full_ma = min(point.socket_ma, max(board.rating_ma for board in boards))
    most = _most(option, full_ma, max(board.ways for board in boards))
    is_stacked = point.id in v.stacked
    if is_stacked:
        most = v.upper(v.at[demand, point.id])
    name = f"{_said(option)} on board {nth + 1} at {demand.place}"
    units = v.remote[demand, point.id, nth] = v.model.new_int_var(0, most, name)
    _name_remote(v, option, nth, boards, _useful(v, option) if is_stacked else 1)
    return units


def _name_remote(
    v: Variables, option: Candidate, nth: int, boards: list[BoardFacts], several: int
) -> None:
    setup_id, place, point_id = option.demand.setup, option.demand.place or "", option.point.id
    for board in boards:
        key = RemoteBoard(setup_id, point_id, place, nth, board.index)
        if key not in v.remote_of:
            said = f"board {nth + 1} at {place} from {point_id} in {setup_id} is a {board.name}"
            v.remote_of[key] = v.model.new_int_var(0, several, said)


def _name_boards(v: Variables, setup_id: str) -> None:
    used = {(p, n) for (d, p, n) in v.boarded if d.setup == setup_id}
    shared = {p for d, p in v.straight if d.setup == setup_id and p in v.stacked}
    shared = shared if v.facts.boards else set()
    for point_id in sorted(shared):
        most = sum(
            v.upper(x) for (d, p), x in v.straight.items() if (d.setup, p) == (setup_id, point_id)
        )
        name = f"units on boards at {point_id} in {setup_id}"
        v.seated[setup_id, point_id] = v.model.new_int_var(0, most, name)
    for point_id, nth in sorted(used | {(point_id, 0) for point_id in shared}):
        most = v.facts.points[point_id].sockets if point_id in shared else 1
        for board in v.facts.boards:
            name = f"board {nth + 1} at {point_id} in {setup_id} is a {board.name}"
            v.board_of[setup_id, point_id, nth, board.index] = v.model.new_int_var(0, most, name)


def _most(option: Candidate, most_ma: int, ways: int) -> int:
    fits = most_ma // option.unit_ma if option.unit_ma else option.demand.count
    return min(option.demand.count, ways, fits)


def _said(option: Candidate) -> str:
    demand = option.demand
    return f"{demand.load} of {demand.place or 'anywhere'} in {demand.setup} at {option.point.id}"
