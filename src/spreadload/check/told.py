"""Volts under load as the verdict tells them."""

from spreadload.network.records import HouseVolts
from spreadload.plan import UnitSeen, VoltsSeen


def volts_told(load: HouseVolts) -> VoltsSeen:
    """Return the volts of one set-up as plain records."""
    lowest = load.lowest
    return VoltsSeen(
        setup=load.setup,
        idle_v=load.idle_v,
        board_v=load.board_v,
        lowest_v=load.board_v if lowest is None else lowest.volts,
        lowest="" if lowest is None else lowest.name,
        line_a=load.line_a,
        losses_w=load.losses_w,
        units=tuple(
            UnitSeen(
                load=unit.load,
                unit=unit.unit,
                point=unit.point,
                volts=unit.volts,
                min_v=unit.min_v,
                light_pct=unit.light_pct,
            )
            for unit in load.units
        ),
        collapse=load.collapse,
    )
