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
                _lay_straight(v, option)
                _lay_boarded(v, option)
                _join(v, option, _lay_remote(v, option))
        _name_boards(v, setup_id)


def _lay_straight(v: Variables, option: Candidate) -> None:
    demand, point = option.demand, option.point
    if option.run(None) is not None:
        most = v.upper(v.at[demand, point.id])
        if point.id not in v.stacked:
            most = min(most, point.sockets)
        v.straight[demand, point.id] = v.model.new_int_var(0, most, f"{_said(option)} straight")


def _lay_boarded(v: Variables, option: Candidate) -> None:
    demand, point = option.demand, option.point
    if not option.can_board or point.id in v.stacked:
        return
    kinds = {run.board for run in option.runs}
    boards = [board for board in v.facts.boards if board.index in kinds]
    most_ma = min(point.socket_ma, max(board.rating_ma for board in boards))
    most = _most(option, most_ma, max(board.ways for board in boards))
    for nth in range(v.board_count(point.id) if most else 0):
        name = f"{_said(option)} on board {nth + 1}"
        v.boarded[demand, point.id, nth] = v.model.new_int_var(0, most, name)


def _lay_remote(v: Variables, option: Candidate) -> list[cp_model.IntVar]:
    """Let units sit on power boards at their own place, each board on one lead."""
    demand, point = option.demand, option.point
    if demand.place is None:
        return []
    beside = [d for d in v.plugged(demand.setup) if d.place == demand.place]
    useful = min(point.sockets, sum(d.count for d in beside) // 2)
    found: list[cp_model.IntVar] = []
    for tier in sorted({run.tier for run in option.remote}):
        boards = [v.facts.boards[r.board or 0] for r in option.remote if r.tier == tier]
        full_ma = min(point.socket_ma, max(board.rating_ma for board in boards))
        most = _most(option, full_ma, max(board.ways for board in boards))
        if point.id in v.stacked:
            most = v.upper(v.at[demand, point.id])
        for n in range(min(v.board_count(point.id), useful)):
            nth = tier * point.sockets + n
            name = f"{_said(option)} on board {nth + 1} at {demand.place}"
            v.remote[demand, point.id, nth] = v.model.new_int_var(0, most, name)
            found.append(v.remote[demand, point.id, nth])
            several = useful if point.id in v.stacked else 1
            _name_remote(v, option, nth, boards, several)
    return found


def _name_remote(
    v: Variables, option: Candidate, nth: int, boards: list[BoardFacts], several: int
) -> None:
    setup_id, place, point_id = option.demand.setup, option.demand.place or "", option.point.id
    for board in boards:
        key = RemoteBoard(setup_id, point_id, place, nth, board.index)
        if key not in v.remote_of:
            said = f"board {nth + 1} at {place} from {point_id} in {setup_id} is a {board.name}"
            v.remote_of[key] = v.model.new_int_var(0, several, said)


def _join(v: Variables, option: Candidate, remote: list[cp_model.IntVar]) -> None:
    demand, point_id = option.demand, option.point.id
    numbers = range(v.board_count(point_id))
    straight = [v.straight[demand, point_id]] if (demand, point_id) in v.straight else []
    boarded = [
        v.boarded[demand, point_id, n] for n in numbers if (demand, point_id, n) in v.boarded
    ]
    v.model.add(v.at[demand, point_id] == total([*straight, *boarded, *remote]))


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
