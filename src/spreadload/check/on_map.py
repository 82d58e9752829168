"""A set-up on one way the house may be wired: the judge's own findings on volts there."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from spreadload.check import sagged, volts
from spreadload.check.judge import Judge
from spreadload.check.state import SetupState, sums
from spreadload.plan import Violation


def state_on(judge: Judge, state: SetupState, circuits_of_outlets: Mapping[str, str]) -> SetupState:
    """Return a set-up with every plug on the circuit that one wiring map gives its outlet."""
    plugged = tuple(
        replace(unit, behind=judge.behind(unit.point, circuits_of_outlets))
        for unit in state.plugged
    )
    current_ma, counted_ma = sums(plugged, state.wired, len(state.devices.rows))
    moved = replace(state, plugged=plugged, current_ma=current_ma, counted_ma=counted_ma)
    return replace(moved, volts=volts.under_load(judge.house, moved))


def short_of_volts(state: SetupState) -> Iterator[Violation]:
    """Yield every limit that a set-up passes under load, in volts or in amps at those volts."""
    for rule in (volts.volts, volts.circuit_under_sag, sagged.gear_under_sag):
        yield from rule(state)
