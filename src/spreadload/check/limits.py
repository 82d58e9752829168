"""Hard rules from the breaker to the street: sums of everything that might be on a device."""

from collections.abc import Iterator

from spreadload.check.devices import Kind
from spreadload.check.state import SetupState
from spreadload.check.words import amps, cap_amps, circuit_name, device_name, limit_name, over_amps
from spreadload.derived.contract import Counted
from spreadload.plan import Usage, Violation
from spreadload.units import (
    MILLI,
    capacity_milliamps,
    demand_milliamps,
    percent_used,
    tenths_down,
    tenths_up,
)


def circuit(state: SetupState) -> Iterator[Violation]:
    """Counted amps of everything that might be on a circuit stay within its breaker, per pole."""
    return _over_devices(state, "circuit")


def feed(state: SetupState) -> Iterator[Violation]:
    """Counted amps under a sub-board stay within its feed, per phase."""
    return _over_devices(state, "feed")


def rcd_amps(state: SetupState) -> Iterator[Violation]:
    """Amps behind an RCD stay within its rated amps, per phase."""
    return _over_devices(state, "rcd amps")


def phase(state: SetupState) -> Iterator[Violation]:
    """Amps per phase stay within the limit of the supply."""
    return _over_devices(state, "phase")


def single_load(state: SetupState) -> Iterator[Violation]:
    """Where the region has the rule, one plug-in unit takes at most its share of a breaker."""
    fraction = state.facts.single_load_fraction
    if fraction is None:
        return
    for unit in state.plugged:
        for circuit_id in sorted(unit.behind.circuits):
            breaker_ma = state.facts.circuits[circuit_id].breaker_ma
            limit_ma = state.facts.single_load_ma(circuit_id, unit.load.id)
            if limit_ma is not None and unit.unit_ma > limit_ma:
                words = (
                    f"{unit.name} takes {amps(unit.unit_ma)} in {state.name}; one plug on "
                    f"{circuit_name(state.facts, circuit_id)} may take {cap_amps(limit_ma)}"
                )
                source = f"{fraction:g} of the {cap_amps(breaker_ma)} breaker for one load"
                limits = (unit.unit_ma, limit_ma)
                yield over_amps("single load", state.setup, unit.where, limits, source, words)


def rcd_leakage(state: SetupState) -> Iterator[Violation]:
    """Standing leakage of everything that might be behind an RCD stays below where it may trip."""
    for rcd in state.facts.rcds.values():
        leakage_ua = state.leakage_ua(rcd.id)
        if leakage_ua > rcd.may_trip_ua:
            has_ma, limit_ma = leakage_ua / MILLI, rcd.may_trip_ua / MILLI
            yield Violation(
                rule="rcd leakage",
                setup=state.setup,
                where=rcd.id,
                value=has_ma,
                limit=limit_ma,
                unit="mA",
                source=rcd.source,
                text=f"RCD {rcd.id} sees {tenths_up(has_ma)} mA of standing leakage in "
                f"{state.name}; above {tenths_down(limit_ma)} mA it may trip",
            )


def contract(state: SetupState) -> Iterator[Violation]:
    """Everything on stays within the contract: its watts, or the amps of both legs together."""
    contract = state.facts.supply.contract
    if contract is None:
        return
    taken = contract_taken(state)
    if taken > contract.cap:
        planning_v = state.facts.supply.planning_v
        is_watts = contract.counted is Counted.WATTS
        yield Violation(
            rule="contract",
            setup=state.setup,
            where="supply",
            value=float(taken) if is_watts else contract.amps(taken, planning_v),
            limit=float(contract.cap) if is_watts else contract.amps(contract.cap, planning_v),
            unit=contract.counted.value,
            source=contract.source,
            text=f"Everything on in {state.name} takes {contract.shown(taken)}; "
            f"the contract allows {contract.cap_shown}",
        )


def contract_taken(state: SetupState) -> int:
    """Return what everything on takes of the contract, in what that counts [W or mA]."""
    takes = state.facts.contract_takes
    plugged = sum(takes(unit.load.id, None) for unit in state.plugged)
    return plugged + sum(takes(w.load.id, w.circuit) * w.count for w in state.wired)


def contract_usage(state: SetupState) -> Usage | None:
    """Return what is taken of the supply contract, or None where there is none."""
    supply, contract = state.facts.supply, state.facts.supply.contract
    if contract is None:
        return None
    taken = contract_taken(state)
    taken_a = demand_milliamps(contract.amps(taken, supply.planning_v)) / MILLI
    return Usage(
        kind="contract",
        id="",
        phase="",
        setup=state.setup,
        current_a=taken_a,
        counted_a=taken_a,
        limit_a=capacity_milliamps(contract.amps(contract.cap, supply.planning_v)) / MILLI,
        used_pct=percent_used(taken, contract.cap),
        source=contract.source,
    )


def _over_devices(state: SetupState, kind: Kind) -> Iterator[Violation]:
    for row, device in enumerate(state.devices.rows):
        has_ma = state.against_limit_ma(row)
        if device.kind == kind and has_ma > device.cap_ma:
            words = (
                f"{device_name(state.facts, device)} {_carries(state, row)} {amps(has_ma)} "
                f"in {state.name}; {limit_name(state.facts, device)} {cap_amps(device.cap_ma)}"
            )
            limits = (has_ma, device.cap_ma)
            yield over_amps(kind, state.setup, device.where, limits, device.source, words)


def _carries(state: SetupState, row: int) -> str:
    """Return the verb: a sum with loads that may be elsewhere, or counted for more, is said so."""
    device = state.devices.rows[row]
    is_sure = device.kind != "circuit" or all(
        unit.behind.circuits == {device.id} for unit in state.plugged if row in unit.behind.rows
    )
    counts_more = device.is_counted and state.counted_ma[row] > state.current_ma[row]
    if counts_more:
        return "counts as" if is_sure else "could count as"
    return "carries" if is_sure else "could carry"
