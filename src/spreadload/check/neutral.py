"""Hard rule of the shared neutral on three phases, where harmonics of electronics add up."""

from collections.abc import Iterator
from math import hypot

from spreadload.check.state import SetupState
from spreadload.check.words import amps, cap_amps, over_amps
from spreadload.electrical.neutral import equal_pf_neutral_a, triplen_share
from spreadload.plan import Usage, Violation
from spreadload.units import MILLI, demand_milliamps, percent_used

PHASES_WITH_TRIPLENS = 3


def neutral(state: SetupState) -> Iterator[Violation]:
    """On three phases, third harmonics put no more on the neutral than a phase may carry."""
    neutral_ma = neutral_under_harmonics_ma(state)
    cap_ma = state.facts.supply.cap_ma
    if neutral_ma > cap_ma >= max(phases_ma(state)):
        words = (
            f"The neutral could carry {amps(neutral_ma)} in {state.name}, because harmonics of "
            f"electronics add up in it; it is good for {cap_amps(cap_ma)}, as a phase"
        )
        limits = (neutral_ma, cap_ma)
        yield over_amps("neutral", state.setup, "neutral", limits, _source(state), words)


def phases_ma(state: SetupState) -> list[int]:
    """Return what each phase of the supply carries at nominal volts [mA]."""
    rows = enumerate(state.devices.rows)
    return [state.current_ma[row] for row, device in rows if device.kind == "phase"]


def neutral_under_harmonics_ma(state: SetupState) -> int:
    """Return what the neutral of a three-phase supply may carry [mA]; 0 on other supplies."""
    if len(state.facts.supply.phases) != PHASES_WITH_TRIPLENS:
        return 0
    lines_a = [current_ma / MILLI for current_ma in phases_ma(state)]
    triplens_ma = sum(
        current_ma * triplen_share(wave) for wave, current_ma in state.single_phase_ma.items()
    )
    return demand_milliamps(hypot(equal_pf_neutral_a(*lines_a), triplens_ma / MILLI))


def neutral_usage(state: SetupState) -> Usage | None:
    """Return what the neutral may carry, or None where no phase could carry less."""
    neutral_ma = neutral_under_harmonics_ma(state)
    if neutral_ma <= max(phases_ma(state), default=0):
        return None
    cap_ma = state.facts.supply.cap_ma
    return Usage(
        kind="neutral",
        id="neutral",
        phase="",
        setup=state.setup,
        current_a=neutral_ma / MILLI,
        counted_a=neutral_ma / MILLI,
        limit_a=cap_ma / MILLI,
        used_pct=percent_used(neutral_ma, cap_ma),
        source=_source(state),
    )


def _source(state: SetupState) -> str:
    return f"neutral as large as a phase; {state.facts.supply.source}"
