"""How long breakers and fuses hold what they carry, for everything near its rating."""

from dataclasses import dataclass

from spreadload.check.state import SetupState
from spreadload.check.volts import sagged_ma
from spreadload.check.words import device_name
from spreadload.electrical.grouping import (
    REFERENCE_C,
    UL_REFERENCE_C,
    side_by_side_factor,
    warm_board_factor,
)
from spreadload.electrical.protection import Device, Verdict, verdict
from spreadload.electrical.trip_gates import DeviceKind
from spreadload.on_the_day.scene.devices import device_of
from spreadload.units import MILLI

NEAR_SHARE = 0.8
_BREAKERS = frozenset({DeviceKind.MCB, DeviceKind.INDUSTRIAL, DeviceKind.UL_BREAKER})


@dataclass(frozen=True, slots=True)
class Loaded:
    """A breaker or fuse near its rating.

    Attributes:
        name: The device in crew words.
        current_a: What it carries at the volts under load [A].
        rated_a: Its rating [A].
        alone: What that does to it in ordinary warmth.
        grouped: The same beside loaded neighbours on a warm board.
        factor: Share of its rating it keeps there.
        neighbours: How many loaded breakers stand side by side, itself included.
        is_sure: Whether everything counted on it is known to be on it.
    """

    name: str
    current_a: float
    rated_a: float
    alone: Verdict
    grouped: Verdict
    factor: float
    neighbours: int
    is_sure: bool


def loaded_devices(state: SetupState, board_c: float | None = None) -> tuple[Loaded, ...]:
    """Return every circuit, feed and phase above 80 % of its rating, fullest first.

    Args:
        state: The set-up, with its volts.
        board_c: Air in the board [°C], where somebody said it.
    """
    load = state.volts
    amps = list(state.current_ma) if load is None or load.collapse else sagged_ma(state, load)
    busy = sum(
        1
        for row, device in enumerate(state.devices.rows)
        if device.kind == "circuit" and amps[row] > 0
    )
    near = [
        (row, device_of(state.facts, each))
        for row, each in enumerate(state.devices.rows)
        if amps[row] > NEAR_SHARE * each.cap_ma
    ]
    found = [
        _loaded(state, row, device, amps[row] / MILLI, (busy, board_c))
        for row, device in near
        if device is not None
    ]
    return tuple(sorted(found, key=lambda each: -each.alone.ratio))


def _loaded(
    state: SetupState,
    place: int,
    device: Device,
    current_a: float,
    warmth: tuple[int, float | None],
) -> Loaded:
    busy, board_c = warmth
    facts, row = state.facts, state.devices.rows[place]
    neighbours = busy if row.kind == "circuit" else 1
    factor = _factor(device, neighbours, board_c)
    return Loaded(
        name=device_name(facts, row),
        current_a=current_a,
        rated_a=device.rated_a,
        alone=verdict(current_a, device),
        grouped=verdict(current_a / factor, device),
        factor=factor,
        neighbours=neighbours,
        is_sure=row.kind == "phase"
        or all(len(u.behind.might_be_on) < 2 for u in state.plugged if place in u.behind.rows),  # noqa: PLR2004 - one circuit only
    )


def _factor(device: Device, neighbours: int, board_c: float | None) -> float:
    """Return the share of its rating a device keeps; warm air is held against breakers only."""
    if device.kind not in _BREAKERS or board_c is None:
        return side_by_side_factor(neighbours)
    is_ul = device.kind is DeviceKind.UL_BREAKER
    reference_c = (UL_REFERENCE_C if is_ul else REFERENCE_C).value
    return warm_board_factor(neighbours, board_c, reference_c)
