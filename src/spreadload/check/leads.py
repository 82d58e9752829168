"""Hard rules of a lead: long enough, thick enough, and not too many volts lost on it."""

from collections.abc import Iterator

from spreadload.check.state import Plugged, SetupState
from spreadload.check.words import amps, cap_amps, over_amps, tenths_down, tenths_up
from spreadload.plan import Violation
from spreadload.units import MILLI

# Routes and drops are sums and products of decimals; a micrometre or microvolt is only noise.
NOISE = 1e-6


def lead_reach(state: SetupState) -> Iterator[Violation]:
    """Own cord and lead together are as long as the route."""
    for unit in state.plugged:
        if unit.has_stray_lead:
            continue
        route_m = unit.route_m
        reach_m = unit.load.cord_m + (unit.lead.length_m if unit.lead else 0.0)
        if route_m > reach_m + NOISE:
            means = f"cord and {unit.lead.name} lead reach" if unit.lead else "its cord reaches"
            yield _over(
                "lead reach",
                state.setup,
                unit,
                (route_m, reach_m, "m"),
                "route rule of the job, common practice",
                f"{unit.name} at {unit.demand.place} is {tenths_up(route_m)} m by the walls from "
                f"{unit.point.id} in {state.setup}; {means} {tenths_down(reach_m)} m",
            )


def lead_amps(state: SetupState) -> Iterator[Violation]:
    """A lead carries at most its rating."""
    for unit in state.plugged:
        lead = unit.lead
        if lead is not None and unit.unit_ma > lead.rating_ma:
            words = (
                f"The {lead.name} lead of {unit.name} carries {amps(unit.unit_ma)} in "
                f"{state.setup}; it is good for {cap_amps(lead.rating_ma)}"
            )
            limits = (unit.unit_ma, lead.rating_ma)
            yield over_amps("lead amps", state.setup, unit.where, limits, lead.source, words)


def lead_drop(state: SetupState) -> Iterator[Violation]:
    """A lead loses at most its share of the planning volts."""
    limit_pct = state.facts.lead_drop_pct
    limit_v = limit_pct / 100 * state.facts.supply.planning_v
    for unit in state.plugged:
        lead = unit.lead
        if lead is None:
            continue
        drop_v = unit.unit_ma / MILLI * lead.loop_ohm
        if drop_v > limit_v + NOISE:
            yield _over(
                "lead drop",
                state.setup,
                unit,
                (drop_v, limit_v, "V"),
                f"{limit_pct:g} % of {state.facts.supply.planning_v:g} V",
                f"The {lead.name} lead of {unit.name} loses {tenths_up(drop_v)} V "
                f"in {state.setup}; {tenths_down(limit_v)} V is allowed",
            )


def _over(
    rule: str,
    setup: str,
    unit: Plugged,
    measured: tuple[float, float, str],
    source: str,
    words: str,
) -> Violation:
    value, limit, symbol = measured
    return Violation(
        rule=rule,
        setup=setup,
        where=unit.where,
        value=value,
        limit=limit,
        unit=symbol,
        source=source,
        text=words,
    )
