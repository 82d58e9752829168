"""Limits from the street to the breaker: supply, sub-board feeds, circuits, RCDs."""

from spreadload import practice
from spreadload.derived.board import read_way
from spreadload.derived.contract import Contract, Counted
from spreadload.derived.draw import line_to_line_v
from spreadload.derived.records import CircuitFacts, FeedFacts, RcdFacts, SupplyFacts
from spreadload.electrical.protection import RATINGS_A
from spreadload.job.job import Job
from spreadload.job.phases import LEGS, phase_names, phases_of
from spreadload.job.red_flags import open_flags
from spreadload.job.site import Circuit, Feeds, LimitCounts, Permission, Rcd, RcdKind
from spreadload.units import (
    capacity_microamps,
    capacity_milliamps,
    capacity_watts,
    shown_capacity_amps,
)

UNSOURCED = "stated without a source"


def with_contract_as_limit(job: Job) -> Job:
    """Return a job whose contract in volt-amps is the limit in amps that it comes to.

    Apparent power is volts times amps whatever the power factor, so such a contract is a limit in
    amps: its share of each phase over the volts to plan with. No tolerance above it is assumed.
    """
    supply = job.supply
    if supply.contract_va is None:
        return job
    planning_v = supply.planning_v or practice.region(job.region).nominal_v
    volts_in_all = planning_v * len(phases_of(job))
    limit_a = supply.contract_va / volts_in_all
    changes: dict[str, object] = {"contract_va": None}
    if supply.limit_a is None or limit_a < supply.limit_a:
        said = f"supply contract {supply.contract_va:g} VA over {volts_in_all:g} V, apparent power"
        changes |= {"limit_a": limit_a, "limit_source": said, "limit_is_contract": True}
        changes["limit_counts"] = LimitCounts.EACH_LEG
    return job.model_copy(update={"supply": supply.model_copy(update=changes)})


def supply_facts(job: Job) -> SupplyFacts:
    """Return the limit at the head of everything, with its source."""
    region = practice.region(job.region)
    supply = job.supply
    phases = phases_of(job)
    planning_v = supply.planning_v or region.nominal_v
    limits: list[tuple[float, str, bool]] = []
    if supply.limit_a is not None:
        limits.append((supply.limit_a, supply.limit_source or UNSOURCED, False))
    switch = supply.main_switch
    if switch is not None and switch.is_limit and switch.rating_a is not None:
        limits.append((switch.rating_a, "main breaker", False))
    if not limits:
        limits.append((*_assumed_limit(job, planning_v * len(phases)), True))
    limit_a, source, assumed = min(limits)
    is_contract = supply.limit_is_contract and limit_a == supply.limit_a
    contract = _contract(job, is_limit_known=not assumed)
    is_stated = supply.limit_counts is LimitCounts.BOTH_LEGS and limit_a == supply.limit_a
    if contract is None and (is_contract or is_stated) and counts_both_legs(job):
        contract = Contract(capacity_milliamps(limit_a), Counted.AMPS, source)
    return SupplyFacts(
        phases,
        planning_v,
        line_to_line_v(planning_v, len(phases)),
        capacity_milliamps(limit_a),
        source,
        assumed,
        contract,
        is_contract,
    )


def _assumed_limit(job: Job, volts_in_all: float) -> tuple[float, str]:
    """Return the amps to assume per phase where nobody stated any, and why.

    Whoever has a larger contract has a main for it, of the next rating that breakers are made in.

    Args:
        job: The job.
        volts_in_all: Planning volts of all phases together [V].
    """
    region = practice.region(job.region)
    row = region.assumed_main_a
    contract_w = (job.supply.contract_w or 0.0) * region.contract_tolerance.value
    by_contract_a = contract_w / volts_in_all
    if by_contract_a > row.value:
        # Watts are counted, and below a power factor of 1 they are more amps than by the volts.
        limit_a = RATINGS_A.at_least(by_contract_a)
        shown = shown_capacity_amps(limit_a)
        return limit_a, f"not known: assumed {shown} A, the next main breaker for the contract"
    return row.value, f"not known: assumed {row.value:g} A ({row.source})"


def counts_both_legs(job: Job) -> bool:
    """Whether the limiter of a contract adds up both legs: as stated, else as the region does."""
    stated = job.supply.limit_counts
    if stated is None:
        return len(phases_of(job)) == LEGS and practice.region(job.region).limit_may_sum_legs
    return stated is LimitCounts.BOTH_LEGS


def _contract(job: Job, *, is_limit_known: bool) -> Contract | None:
    """Return the watts of the contract, or of the region's usual one where no limit is known."""
    region = practice.region(job.region)
    contract_w, said = job.supply.contract_w, "supply contract"
    usual = region.assumed_contract_w
    if contract_w is None and usual is not None and not is_limit_known:
        contract_w, said = usual.value, f"{usual.source}, not known but assumed:"
    if contract_w is None:
        return None
    row = region.contract_tolerance
    return Contract(
        capacity_watts(contract_w * row.value),
        Counted.WATTS,
        f"{said} {contract_w:g} W x {row.value:g} ({row.source})",
    )


def feed_facts(job: Job, supply: SupplyFacts) -> dict[str, FeedFacts]:
    """Return the feed limits of sub-boards."""
    return {
        board_id: FeedFacts(
            board_id,
            capacity_milliamps(board.feed_a),
            phase_names(board.phase) or supply.phases,
            f"feed breaker of sub-board {board.label or board_id}",
        )
        for board_id, board in job.sub_boards.items()
    }


def feed_chain(job: Job, board_id: str | None) -> tuple[str, ...]:
    """Return the sub-boards a way hangs under, nearest first."""
    chain: list[str] = []
    while board_id is not None and board_id not in chain:
        chain.append(board_id)
        board_id = job.sub_boards[board_id].fed_from
    return tuple(chain)


def rcd_facts(job: Job) -> dict[str, RcdFacts]:
    """Return leakage limits of every RCD named in the job and of every box that brings its own."""
    found = {
        rcd_id: rcd_limits(job, rcd_id, _trips_at_ma(job, rcd), rcd.rating_a)
        for rcd_id, rcd in job.rcds.items()
    }
    for box_id, box in job.boxes.items():
        if box.rcd_ma is not None:
            for outlet_id in job.outlets:
                name = f"{outlet_id}/{box_id}"
                found[name] = rcd_limits(job, name, box.rcd_ma, None)
    return found


def _trips_at_ma(job: Job, rcd: Rcd) -> float:
    """Return what a device opens at [mA]; where nobody read it, the usual of its kind and region.

    Against shock every kind of a region opens alike, as an American breaker with GFCI does; a GFCI
    opens at as little anywhere.
    """
    if rcd.trips_at_ma is not None:
        return rcd.trips_at_ma
    of_kind = practice.rcd_row(rcd.kind).value
    if rcd.kind is RcdKind.EQUIPMENT:
        return of_kind
    return min(of_kind, practice.region(job.region).rcd_ma.value)


def rcd_limits(job: Job, name: str, trips_at_ma: float, rating_a: float | None) -> RcdFacts:
    """Return the limits of one RCD [µA]."""
    region = practice.region(job.region)
    guide = job.rules.leakage_guide_pct or region.leakage_guide_pct.value
    may_trip = job.rules.leakage_may_trip_pct or region.leakage_may_trip_pct.value
    return RcdFacts(
        name,
        capacity_microamps(trips_at_ma * guide / 100),
        capacity_microamps(trips_at_ma * may_trip / 100),
        trips_at_ma,
        None if rating_a is None else capacity_milliamps(rating_a),
        f"{may_trip:g} % of {trips_at_ma:g} mA ({region.leakage_may_trip_pct.source})",
    )


def circuit_facts(job: Job, supply: SupplyFacts) -> dict[str, CircuitFacts]:
    """Return every circuit with its capacity and what it is behind."""
    return {
        circuit_id: _circuit(job, supply, circuit_id, circuit)
        for circuit_id, circuit in job.circuits.items()
    }


def _circuit(job: Job, supply: SupplyFacts, circuit_id: str, circuit: Circuit) -> CircuitFacts:
    chain = feed_chain(job, circuit.sub_board)
    rating_a, source, factor = _rating(job, circuit)
    named = phase_names(circuit.phase)
    if not named and circuit.sub_board is not None:
        from_board = phase_names(job.sub_boards[circuit.sub_board].phase)
        named = from_board if len(from_board) == 1 else ()
    behind = {circuit.rcd, *(job.sub_boards[board].rcd for board in chain)}
    can_feed = read_way(job, circuit_id).feeds is Feeds.OUTLETS
    is_flagged = any(flag.circuit == circuit_id for flag in open_flags(job))
    return CircuitFacts(
        id=circuit_id,
        label=circuit.label,
        cap_ma=capacity_milliamps(rating_a * factor),
        breaker_ma=capacity_milliamps(rating_a),
        poles=max(1, len(named)),
        phases=named or supply.phases,
        rcds=frozenset(name for name in behind if name is not None),
        feeds=chain,
        can_feed_outlets=can_feed,
        is_usable=can_feed and circuit.use is not Permission.OFF_LIMITS and not is_flagged,
        is_last_resort=circuit.use is Permission.LAST_RESORT,
        source=source,
    )


def _rating(job: Job, circuit: Circuit) -> tuple[float, str, float]:
    """Return the rating [A], its source, and the planning factor."""
    if circuit.breaker_a is not None:
        return circuit.breaker_a, f"{shown_capacity_amps(circuit.breaker_a)} A breaker", 1.0
    if circuit.fuse_a is not None:
        row = practice.rewireable_factor()
        factor = row.value if circuit.rewireable else 1.0
        said = f" x {factor:g} for a rewireable fuse ({row.source})" if circuit.rewireable else ""
        return circuit.fuse_a, f"{circuit.fuse_a:g} A fuse{said}", factor
    assumed = min(practice.region(job.region).usual_outlet_breakers_a)
    return assumed, f"rating not read: assumed {assumed:g} A, the smallest usual", 1.0
