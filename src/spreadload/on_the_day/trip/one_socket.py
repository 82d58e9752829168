"""What can open at one socket: a power board, a fused plug, an RCD in a box, the item itself.

Never imports the solver.
"""

from collections.abc import Iterator

from spreadload import practice
from spreadload.on_the_day.scene.limit_of import board_limit
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.trip.causes import SIGNS, Cause, Seen
from spreadload.plan import Placement

_Seat = tuple[str, int]
# The neighbour in the same plate still works: that is the very sign of something at the socket.
_NEIGHBOUR_LIT = 4.0
_NOT_LOADED = 0.3
_SEVERAL_DEAD = 0.2


def at_one_socket(scene: Scene, seen: Seen) -> Iterator[tuple[Cause, str, float]]:
    """Yield what can have opened at one socket, where all that is dark hangs on one."""
    if len(seen.dark) != 1:
        return
    outlet = seen.dark[0]
    dead = dead_units(scene, seen)
    seats = {_seat(p) for p in dead}
    alive = {_seat(p) for p in seen.lit_units}
    factor = _NEIGHBOUR_LIT if alive or outlet in seen.lit else 1.0
    yield from _boxes(scene, outlet, dead, seen.lit_units)
    if (len(seats) > 1 and not alive) or (len(dead) > 1 and seats & alive):
        # Several at once for a reason of their own: a splitter, a controller, a wall switch.
        yield Cause.ITEM, outlet, SIGNS[Cause.ITEM].usual * _SEVERAL_DEAD
    if len(seats) > 1 or (len(dead) > 1 and seats & alive):
        return
    if len(dead) <= 1:
        yield Cause.ITEM, outlet, SIGNS[Cause.ITEM].usual * factor
    if seats & alive:
        # On a power board whose other items work: only what is in its own plug is left.
        if dead and _own_fuse_a(scene, dead[0]):
            yield Cause.PLUG_FUSE, outlet, SIGNS[Cause.PLUG_FUSE].usual * factor
        return
    board = next((p for p in dead if p.board is not None), None)
    if board is not None and _has_cut_out(scene, board) and _is_whole(scene, board, dead, seen):
        used = board_limit(scene, board).now(scene).used_pct / 100
        usual = SIGNS[Cause.CUT_OUT].usual
        yield Cause.CUT_OUT, outlet, usual * factor * (_NOT_LOADED + used**2)
    if _has_plug_fuse(scene, outlet):
        yield Cause.PLUG_FUSE, outlet, SIGNS[Cause.PLUG_FUSE].usual * factor


def dead_units(scene: Scene, seen: Seen) -> tuple[Placement, ...]:
    """Return the units found dead: those named, else all the plan has at the dark outlet."""
    if seen.dark_units:
        return seen.dark_units
    here = scene.judged.by_setup[scene.setup]
    return tuple(p for p in here if scene.facts.points[p.point].outlet in seen.dark)


def alone_on_plug(scene: Scene, seen: Seen) -> Placement | None:
    """Return the one unit that hangs on the plug found dead, or None where several do."""
    dead = dead_units(scene, seen)
    if len(dead) != 1:
        return None
    unit = dead[0]
    on = [p for p in scene.judged.by_setup[scene.setup] if _seat(p) == _seat(unit)]
    is_alive = any(_seat(p) == _seat(unit) for p in seen.lit_units)
    return unit if is_alive or len(on) == 1 else None


def _own_fuse_a(scene: Scene, p: Placement) -> float | None:
    return practice.plug(scene.facts.loads[p.load].plug).fuse_a


def _is_whole(scene: Scene, board: Placement, dead: tuple[Placement, ...], seen: Seen) -> bool:
    """Whether everything on a power board may be dead: all named, or one named of one."""
    on = [p for p in scene.judged.by_setup[scene.setup] if _seat(p) == _seat(board)]
    return len(dead) > 1 or len(on) == 1 or not seen.dark_units


def _boxes(
    scene: Scene, outlet: str, dead: tuple[Placement, ...], lit: tuple[Placement, ...]
) -> Iterator[tuple[Cause, str, float]]:
    boxes = {scene.facts.points[p.point].box for p in dead}
    if len(boxes) != 1:
        return
    rcd = f"{outlet}/{next(iter(boxes))}"
    alive = {f"{scene.facts.points[p.point].outlet}/{scene.facts.points[p.point].box}" for p in lit}
    if rcd in scene.facts.rcds and rcd not in alive:
        yield Cause.RCD, rcd, SIGNS[Cause.RCD].usual


def _has_cut_out(scene: Scene, p: Placement) -> bool:
    """Whether a power board has a cut-out: as stated, else as boards of the region do."""
    job = scene.facts.job
    number = p.board or 0
    stated = job.power_boards[number].cut_out if number < len(job.power_boards) else None
    usual = practice.region(job.region).board_protection == "cut-out"
    return usual if stated is None else stated


def _has_plug_fuse(scene: Scene, outlet: str) -> bool:
    return practice.plug(scene.facts.points[outlet].plug).fuse_a is not None


def _seat(p: Placement) -> _Seat:
    return p.point, p.socket
