"""Hard rules of a lead: long enough, thick enough, and not too many volts lost on it."""

from collections.abc import Iterator

from spreadload.check.state import Plugged, SetupState
from spreadload.check.words import amps, cap_amps, over_amps, too_many
from spreadload.derived.reach import REACH_NOISE_M
from spreadload.derived.records import LeadFacts
from spreadload.plan import Violation
from spreadload.units import MILLI, tenths_down, tenths_up
from spreadload.words import row

# Drops are sums and products of decimals; a microvolt is only noise [V].
DROP_NOISE_V = 1e-6


def lead_reach(state: SetupState) -> Iterator[Violation]:
    """Own cord, lead and the lead of a power board together are as long as the route."""
    for unit in state.plugged:
        if unit.has_stray_lead:
            continue
        reach_m = unit.load.cord_m + sum(lead.length_m for lead in unit.leads)
        if unit.route_m > reach_m + REACH_NOISE_M:
            used = row(lead.name for lead in unit.leads)
            means = f"cord and {used} lead reach" if unit.leads else "its cord reaches"
            lengths = state.facts.lengths
            yield _over(
                "lead reach",
                state.setup,
                unit,
                (unit.route_m, reach_m, "m"),
                "route rule of the job, common practice",
                f"{unit.name} at {unit.demand.place} is {lengths.needed(unit.route_m)} by the "
                f"walls from {unit.point.id} in {state.name}; {means} {lengths.at_hand(reach_m)}",
            )


def board_lead(state: SetupState) -> Iterator[Violation]:
    """A power board at the end of a lead serves one place, and all its units name that lead."""
    for (point_id, number), units in state.by_socket.items():
        named = {unit.board_lead for unit in units}
        if named == {None} or any(unit.has_stray_lead for unit in units):
            continue
        where = f"{point_id} socket {number}"
        if any(unit.board is None and not unit.has_stray_board for unit in units):
            words = f"{where} in {state.name} has a lead for a power board, but no power board"
            yield too_many("board lead", state.setup, where, (1, 0), words)
        elif len(named) > 1:
            words = f"The power board at {where} in {state.name} hangs on {len(named)} leads"
            yield too_many("board lead", state.setup, where, (len(named), 1), words)
        places = {unit.demand.place for unit in units}
        if len(places) > 1:
            words = (
                f"The power board on a lead at {where} in {state.name} "
                f"serves {len(places)} places; it lies at one"
            )
            yield too_many("board lead", state.setup, where, (len(places), 1), words)


def lead_amps(state: SetupState) -> Iterator[Violation]:
    """A lead carries at most its rating, and so does the lead of a whole power board."""
    for unit in state.plugged:
        if unit.lead is not None:
            yield from _over_rating(state, unit.lead, unit.unit_ma, unit.where, unit.name)
    for (point_id, number), units in state.by_socket.items():
        for lead, total_ma in _board_leads(units).items():
            where = f"{point_id} socket {number}"
            yield from _over_rating(state, lead, total_ma, where, f"the power board at {where}")


def lead_drop(state: SetupState) -> Iterator[Violation]:
    """Leads between outlet and load lose at most their share of the planning volts."""
    limit_pct = state.facts.lead_drop_pct
    limit_v = limit_pct / 100 * state.facts.supply.planning_v
    for units in state.by_socket.values():
        to_board_v = {
            lead: total_ma / MILLI * lead.loop_ohm for lead, total_ma in _board_leads(units).items()
        }
        for unit in units:
            own_v = unit.unit_ma / MILLI * unit.lead.loop_ohm if unit.lead else 0.0
            shared_v = to_board_v[unit.board_lead] if unit.board_lead else 0.0
            if own_v + shared_v > limit_v + DROP_NOISE_V:
                names = row(lead.name for lead in unit.leads)
                yield _over(
                    "lead drop",
                    state.setup,
                    unit,
                    (own_v + shared_v, limit_v, "V"),
                    f"{limit_pct:g} % of {state.facts.supply.planning_v:g} V",
                    f"The {names} lead of {unit.name} loses "
                    f"{tenths_up(own_v + shared_v)} V in {state.name}; "
                    f"{tenths_down(limit_v)} V is allowed",
                )


def _board_leads(units: list[Plugged]) -> dict[LeadFacts, int]:
    """Return the leads between one socket and its power board, with all they carry [mA]."""
    found: dict[LeadFacts, int] = {}
    for unit in units:
        if unit.board_lead is not None:
            found[unit.board_lead] = found.get(unit.board_lead, 0) + unit.unit_ma
    return found


def _over_rating(
    state: SetupState, lead: LeadFacts, current_ma: int, where: str, whose: str
) -> Iterator[Violation]:
    if current_ma > lead.rating_ma:
        words = (
            f"The {lead.name} lead of {whose} carries {amps(current_ma)} in "
            f"{state.name}; it is good for {cap_amps(lead.rating_ma)}"
        )
        limits = (current_ma, lead.rating_ma)
        yield over_amps("lead amps", state.setup, where, limits, lead.source, words)


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
