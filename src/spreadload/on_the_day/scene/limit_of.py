"""The limits of a house by name: of a circuit, a feed, a phase, an RCD, a power board, a contract.

Never imports the solver.
"""

from spreadload import practice
from spreadload.derived.contract import Counted
from spreadload.on_the_day.scene.limits import Kind, Limit
from spreadload.on_the_day.scene.scene import Scene
from spreadload.plan import Placement
from spreadload.units import capacity_milliamps


def circuit_limit(scene: Scene, circuit: str) -> Limit:
    """Return the limit of a circuit [mA per pole]."""
    facts = scene.facts.circuits[circuit]
    return Limit(Kind.CIRCUIT, circuit, facts.cap_ma, facts.breaker_ma)


def feed_limit(scene: Scene, board: str) -> Limit:
    """Return the limit of a sub-board's feed [mA per phase]."""
    cap_ma = scene.facts.feeds[board].cap_ma
    return Limit(Kind.FEED, board, cap_ma, cap_ma)


def phase_limit(scene: Scene, phase: str) -> Limit:
    """Return the limit of one phase of the supply [mA]."""
    cap_ma = scene.facts.supply.cap_ma
    return Limit(Kind.PHASE, phase, cap_ma, cap_ma)


def fullest_phase(scene: Scene) -> Limit:
    """Return the limit of the phase with most on it."""
    phases = [phase_limit(scene, phase) for phase in scene.facts.supply.phases]
    return max(phases, key=lambda limit: limit.now(scene).actual)


def contract_limit(scene: Scene) -> Limit | None:
    """Return the limit of the supply contract, or None where there is none.

    A contract in watts is one sum [W], and so are both legs counted together [mA]; one in
    volt-amps is what its share gives on a phase [mA].
    """
    supply = scene.facts.supply
    contract = supply.contract
    is_in_watts = contract is None or contract.counted is Counted.WATTS
    if supply.is_contract and is_in_watts:
        return fullest_phase(scene)
    if contract is None:
        return None
    return Limit(Kind.CONTRACT, "", contract.cap, contract.cap, is_in_watts=is_in_watts)


def leakage_limit(scene: Scene, rcd: str) -> Limit:
    """Return the standing leakage from which an RCD may open [µA]."""
    may_trip_ua = scene.facts.rcds[rcd].may_trip_ua
    return Limit(Kind.LEAKAGE, rcd, may_trip_ua, may_trip_ua)


def board_limit(scene: Scene, held: Placement) -> Limit:
    """Return the limit of the power board a unit hangs on [mA]."""
    facts = scene.facts
    outlet = facts.points[held.point].outlet
    rating_ma = facts.boards[held.board or 0].rating_ma
    return Limit(Kind.SOCKET, outlet, rating_ma, rating_ma, (held.point, held.socket))


def plug_fuse_limit(scene: Scene, held: Placement) -> Limit:
    """Return the limit of the fuse in the plug a unit hangs on [mA]."""
    point = scene.facts.points[held.point]
    fuse_ma = capacity_milliamps(practice.plug(point.plug).fuse_a or 0.0)
    return Limit(Kind.SOCKET, point.outlet, fuse_ma, fuse_ma, (held.point, held.socket))
