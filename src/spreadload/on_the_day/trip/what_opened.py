"""What opened, as something with a limit that can be summed. Never imports the solver."""

from spreadload.on_the_day.scene.limit_of import (
    board_limit,
    circuit_limit,
    contract_limit,
    feed_limit,
    fullest_phase,
    leakage_limit,
    plug_fuse_limit,
)
from spreadload.on_the_day.scene.limits import Limit
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.trip.causes import (
    OF_A_CIRCUIT,
    OF_A_SOCKET,
    OF_LEAKAGE,
    Cause,
    Opened,
    Seen,
)
from spreadload.on_the_day.trip.one_socket import alone_on_plug, dead_units


def limit_of(scene: Scene, top: Opened, seen: Seen) -> Limit | None:
    """Return what opened with its limit, or None where no load of ours can open it.

    Args:
        scene: The house now.
        top: What opened.
        seen: What was found; it names the socket of a power board or fused plug.
    """
    if top.cause in OF_A_SOCKET:
        return _socket_limit(scene, top, seen)
    named = {
        **dict.fromkeys(OF_A_CIRCUIT, circuit_limit),
        **dict.fromkeys(OF_LEAKAGE, leakage_limit),
        Cause.FEED: feed_limit,
    }.get(top.cause)
    if named is not None:
        return named(scene, top.device)
    if top.cause in (Cause.MAIN, Cause.SERVICE_FUSE):
        return fullest_phase(scene)
    return contract_limit(scene) if top.cause is Cause.METER else None


def _socket_limit(scene: Scene, top: Opened, seen: Seen) -> Limit | None:
    dead = dead_units(scene, seen)
    if top.cause is Cause.PLUG_FUSE:
        # One item in one plug: nothing of it can be moved off that plug.
        is_alone = alone_on_plug(scene, seen) is not None
        return None if is_alone or not dead else plug_fuse_limit(scene, dead[0])
    board = next((p for p in dead if p.board is not None), None)
    return None if board is None else board_limit(scene, board)
