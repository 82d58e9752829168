"""Hard rule of plugs, sockets, power boards, boxes and leads at the amps they see under load.

Regulated loads draw more as the volts fall, so what fits by its plate may pass a rating once
everything is on. The rules are those of nominal amps, held against the same set-up at its volts.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import isinf

from spreadload.check import leads, limits, plugs, stock
from spreadload.check.state import Plugged, SetupState
from spreadload.network.records import HouseVolts
from spreadload.plan import Violation
from spreadload.units import MILLI, demand_milliamps, tenths_down

_HELD: tuple[Callable[[SetupState], Iterator[Violation]], ...] = (
    plugs.plug_amps,
    plugs.socket_amps,
    plugs.plate_amps,
    stock.box_inlet,
    leads.lead_amps,
    leads.lead_drop,
    limits.single_load,
)


def gear_under_sag(state: SetupState) -> Iterator[Violation]:
    """Amps at the volts under load stay within every plug, socket, board, box and lead."""
    load = state.volts
    if load is None or not state.may_refuse_on_volts or load.collapse:
        return
    sagged = at_volts(state, load)
    for rule in _HELD:
        known = {(v.where, v.limit) for v in rule(state)}
        for passed in rule(sagged):
            if (passed.where, passed.limit) not in known:
                words = f"At the {tenths_down(load.board_v)} V left at the board, {passed.text}"
                yield passed.model_copy(update={"rule": "gear under sag", "text": words})


def at_volts(state: SetupState, load: HouseVolts) -> SetupState:
    """Return a set-up with what every plugged-in unit draws at the volts it gets."""
    pairs = zip(state.plugged, load.units, strict=False)
    plugged = tuple(_drawing(unit, got.amps_ratio) for unit, got in pairs)
    return replace(state, plugged=plugged)


def _drawing(unit: Plugged, ratio: float) -> Plugged:
    if isinf(ratio):
        return unit
    return replace(unit, unit_ma=demand_milliamps(unit.unit_ma / MILLI * ratio))
