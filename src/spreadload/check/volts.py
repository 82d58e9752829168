"""Hard rules under load: volts at every head, and amps at the volts there.

The volts come from ``network``; without a pair of readings there are none, and nothing is refused.
"""

from collections.abc import Iterator
from math import isinf

from spreadload.check.state import Plugged, SetupState, Wired
from spreadload.check.words import amps, cap_amps, device_name, limit_name, over_amps
from spreadload.network.house import House
from spreadload.network.records import Fixed, HouseVolts, Hung, UnitVolts
from spreadload.plan import Violation
from spreadload.units import MILLI, demand_milliamps, tenths_down, tenths_up
from spreadload.words import in_setup


def hung(unit: Plugged) -> Hung:
    """Return a unit as the network sees it."""
    return Hung(
        name=unit.name,
        load=unit.load.id,
        unit=unit.unit,
        point=unit.point.id,
        socket=unit.socket,
        board_lead=None if unit.board_lead is None else unit.board_lead.index,
        lead=None if unit.lead is None else unit.lead.index,
        poles=unit.poles,
        circuits=unit.behind.might_be_on,
        place=unit.demand.place or "",
        is_left_to_maps=unit.behind.circuits != unit.behind.might_be_on,
    )


def fixed(group: Wired) -> Fixed:
    """Return hard-wired units as the network sees them."""
    return Fixed(group.load.id, group.count, group.circuit)


def under_load(house: House, state: SetupState) -> HouseVolts:
    """Return the volts and amps of a set-up; units stand as in the state, plugged ones first."""
    return house.solve(
        state.setup, [hung(unit) for unit in state.plugged], [fixed(w) for w in state.wired]
    )


def volts(state: SetupState) -> Iterator[Violation]:
    """Every head gets the volts it works at, on the supply as it was read under load."""
    load = state.volts
    if load is None or not state.may_refuse_on_volts:
        return
    if load.collapse:
        yield Violation(
            rule="volts",
            setup=state.setup,
            where="supply",
            value=0.0,
            limit=max((unit.min_v for unit in load.units), default=0.0),
            unit="V",
            source=state.volts_source,
            text=f"In {state.name} {load.collapse}",
        )
        return
    for unit in load.short:
        yield Violation(
            rule="volts",
            setup=state.setup,
            where=f"{unit.load} {unit.unit}",
            value=unit.volts,
            limit=unit.min_v,
            unit="V",
            source=f"{unit.min_source}; supply: {state.volts_source}",
            text=short_words(load, unit),
        )


def short_words(load: HouseVolts, unit: UnitVolts) -> str:
    """Return what is wrong with the volts of a head in one sentence."""
    stands = f" for {unit.place}" if unit.place else ""
    at = f" at {unit.point}" if unit.point else ""
    return (
        f"{unit.name}{stands}{at} gets {tenths_down(unit.volts)} V{in_setup(load.setup)} and works "
        f"from {tenths_up(unit.min_v)} V: at {tenths_up(max(load.line_a))} A the board falls from "
        f"{tenths_down(load.idle_v)} V to {tenths_down(load.board_v)} V"
    )


def circuit_under_sag(state: SetupState) -> Iterator[Violation]:
    """Amps at the volts under load stay within every breaker that nominal amps stay within."""
    load = state.volts
    if load is None or not state.may_refuse_on_volts or load.collapse:
        return
    sagged = sagged_ma(state, load)
    ours = {row for unit in state.plugged for row in unit.behind.rows}
    for row, device in enumerate(state.devices.rows):
        if device.kind == "circuit" and row not in ours:
            continue  # who wired the house's own load to a way of its own sized it for its volts
        if sagged[row] > device.cap_ma >= state.against_limit_ma(row):
            words = (
                f"{device_name(state.facts, device)} carries {amps(sagged[row])} at the "
                f"{tenths_down(load.board_v)} V left at the board in {state.name}; "
                f"{limit_name(state.facts, device)} {cap_amps(device.cap_ma)}"
            )
            limits = (sagged[row], device.cap_ma)
            yield over_amps(
                "circuit under sag", state.setup, device.where, limits, device.source, words
            )


def sagged_ma(state: SetupState, load: HouseVolts) -> list[int]:
    """Return what is held against each device at the volts under load [mA]."""
    exact = [0.0] * len(state.devices.rows)
    plugged = zip(state.plugged, load.units, strict=False)
    wired = zip(state.wired, load.units[len(state.plugged) :], strict=True)
    for unit, got in plugged:
        _count(state, exact, unit.behind.rows, (unit.unit_ma, unit.counted_ma, got.amps_ratio))
    for group, got in wired:
        each = (group.unit_ma * group.count, group.counted_ma * group.count, got.amps_ratio)
        _count(state, exact, group.behind.rows, each)
    return [demand_milliamps(total_ma / MILLI) for total_ma in exact]


def _count(
    state: SetupState,
    exact: list[float],
    rows: tuple[int, ...],
    each: tuple[int, int, float],
) -> None:
    unit_ma, counted_ma, ratio = each
    if isinf(ratio):
        return
    for row in rows:
        exact[row] += ratio * (counted_ma if state.devices.rows[row].is_counted else unit_ma)


def notes(state: SetupState, drop_guide_pct: float) -> Iterator[str]:
    """Yield what a reader should know of the volts although nothing is refused for it."""
    load = state.volts
    if load is None:
        return
    if not state.may_refuse_on_volts:
        yield f"{state.name}: the supply is only guessed ({state.volts_source})"
        for unit in load.short:
            yield f"If so, {short_words(load, unit)}"
        return
    lowest = load.lowest
    if lowest is None or load.collapse:
        return
    planning_v = state.facts.supply.planning_v
    dropped_pct = 100 * (load.idle_v - lowest.volts) / planning_v
    if dropped_pct > drop_guide_pct:
        yield (
            f"{state.name}: {tenths_up(dropped_pct)} % of {planning_v:g} V is lost on "
            f"the way to {lowest.name}; the guide is {drop_guide_pct:g} % in all"
        )
