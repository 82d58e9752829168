"""Supply, switchboard and residual-current devices: do the statements hang together?

Imports only its neighbours.
"""

from collections.abc import Iterator
from dataclasses import replace

from spreadload.job.job import Job
from spreadload.job.phases import LEGS, phase_names, phases_of, system_of
from spreadload.job.references.finding import Finding, Known, Path, unknown
from spreadload.job.site import Circuit, Rcd, Reading, Supply

# Between a low 100 V and a high 240 V supply, with room; between lines it is more (IEC 60038).
_LEAST_V, _MOST_V = 80.0, 290.0
# Highest usual line-to-neutral volts, so that only a plain contradiction is called one (IEC 60038).
_HIGH_V = 240.0
# The smallest conductor of IEC 60228.
_LEAST_CABLE_MM2 = 0.5
# No residual-current device opens at less than 4 mA (UL 943, the most sensitive in use).
_LEAST_RCD_MA = 1.0
_MAIN_BOARD = frozenset({"main", "board", "main board", "switchboard"})


def check_board(job: Job, known: Known) -> Iterator[Finding]:
    """Yield what cannot be meant about supply, sub-boards and circuits."""
    yield from _region(job, known)
    yield from _supply(job, job.supply)
    for index, reading in enumerate(job.supply.readings):
        yield from _reading(job, ("supply", "readings", index), reading)
    yield from _sub_boards(job)
    for rcd_id, rcd in job.rcds.items():
        yield from _rcd(("rcds", rcd_id), rcd)
    for circuit_id, circuit in job.circuits.items():
        yield from _circuit(job, ("circuits", circuit_id), circuit_id, circuit)


def _rcd(path: Path, rcd: Rcd) -> Iterator[Finding]:
    if rcd.trips_at_ma is not None and rcd.trips_at_ma < _LEAST_RCD_MA:
        yield Finding(
            (*path, "trips_at_ma"),
            "no residual-current device opens at so little",
            f"{rcd.trips_at_ma:g}",
            f"at least {_LEAST_RCD_MA:g} mA",
            f"in milliamps: write {rcd.trips_at_ma * 1000:g} if amps were meant",
        )


def _region(job: Job, known: Known) -> Iterator[Finding]:
    for finding in unknown(("region",), "region", job.region, known.regions):
        country = known.countries.get(job.region.strip().casefold())
        remedy = (
            f"write region: {country}"
            if country
            else "`spreadload region UK` shows what one assumes"
        )
        yield replace(finding, remedy=remedy)


def _supply(job: Job, supply: Supply) -> Iterator[Finding]:
    if supply.planning_v is not None:
        yield from _volts(("supply", "planning_v"), supply.planning_v)
        if supply.min_v is not None and supply.min_v >= supply.planning_v:
            yield Finding(
                ("supply", "min_v"),
                "the lowest volts allowed are not below the volts to plan with",
                f"{supply.min_v:g}",
                f"less than {supply.planning_v:g} V",
                "correct one of the two",
            )
    switch = supply.main_switch
    if switch is not None and switch.is_limit and switch.rating_a is None:
        yield Finding(
            ("supply", "main_switch"),
            "a main breaker that is a limit needs its rating",
            remedy="add rating_a, or is_limit: false for a plain switch",
        )
    yield from _contract(job, supply)


def _contract(job: Job, supply: Supply) -> Iterator[Finding]:
    if supply.contract_w is not None and supply.contract_va is not None:
        remedy = "keep the one on the bill: contract_w for kW, contract_va for kVA"
        yield Finding(("supply",), "a contract in watts and in volt-amps", remedy=remedy)
    if supply.limit_counts is not None and len(phases_of(job)) != LEGS:
        remedy = "remove it, or say system: split-phase"
        said = "only a supply of two legs can be counted either way"
        where, value = ("supply", "limit_counts"), supply.limit_counts.value
        yield Finding(where, said, value, remedy=remedy, leans_on=_phases_said(job))
    if supply.limit_a is None:
        if supply.limit_counts is not None:
            remedy = "add limit_a, the amps that are counted so"
            yield Finding(("supply", "limit_counts"), "there is no limit stated", remedy=remedy)
        if supply.limit_is_contract:
            remedy = "add limit_a, the amps of the contract, or contract_va"
            yield Finding(
                ("supply", "limit_is_contract"), "there is no limit stated", remedy=remedy
            )
        return
    most = supply.limit_a * (supply.planning_v or _HIGH_V) * len(phases_of(job))
    for key, stated, unit in (
        ("contract_w", supply.contract_w, "watts"),
        ("contract_va", supply.contract_va, "volt-amps"),
    ):
        if stated is not None and stated > most:
            yield Finding(
                ("supply", key),
                f"the contract is for more than {supply.limit_a:g} A can deliver",
                f"{stated:g}",
                f"at most {most:.0f} {'W' if key == 'contract_w' else 'VA'}",
                f"correct {key} in {unit} or limit_a in amps per phase",
            )


def _volts(path: Path, volts: float) -> Iterator[Finding]:
    if not _LEAST_V <= volts <= _MOST_V:
        yield Finding(
            path,
            "not the volts of an outlet",
            f"{volts:g}",
            f"{_LEAST_V:g} to {_MOST_V:g} V",
            "give volts between line and neutral, not between lines",
        )


def _reading(job: Job, path: Path, reading: Reading) -> Iterator[Finding]:
    points = {"board", *job.outlets, *job.sub_boards}
    yield from unknown((*path, "at"), "outlet or board", reading.at, points)
    yield from _volts((*path, "idle_v"), reading.idle_v)
    yield from _phases(job, (*path, "phase"), reading.phase)
    has_load = reading.load_a is not None or reading.load_w is not None
    if reading.loaded_v is None:
        if has_load:
            remedy = "add loaded_v, the volts read with that load on"
            yield Finding(path, "a load is given but not the volts with it on", remedy=remedy)
        return
    if reading.loaded_v > reading.idle_v:
        yield Finding(
            (*path, "loaded_v"),
            "more volts with a load on than without",
            f"{reading.loaded_v:g}",
            f"at most {reading.idle_v:g} V",
            "swap the two, or read again",
        )
    if not has_load:
        remedy = "add load_a or load_w, the load that was on"
        yield Finding(path, "volts under load say nothing without the load", remedy=remedy)


def _sub_boards(job: Job) -> Iterator[Finding]:
    for board_id, board in job.sub_boards.items():
        path = ("sub_boards", board_id)
        if board.fed_from is not None:
            yield from _fed_from(job, board_id, board.fed_from)
        if board.rcd is not None:
            yield from unknown((*path, "rcd"), "RCD", board.rcd, job.rcds)
        yield from _phases(job, (*path, "phase"), board.phase)
        yield from _cable(path, board.cable_mm2)


def _cable(path: Path, area_mm2: float | None) -> Iterator[Finding]:
    """Find a size no house is wired in, most often a slipped decimal point."""
    if area_mm2 is not None and area_mm2 < _LEAST_CABLE_MM2:
        yield Finding(
            (*path, "cable_mm2"),
            "not a size of fixed wiring",
            f"{area_mm2:g}",
            f"{_LEAST_CABLE_MM2:g} mm² or more",
            "check the decimal point, or leave it away where nobody read it",
        )


def _fed_from(job: Job, board_id: str, feeder: str) -> Iterator[Finding]:
    path = ("sub_boards", board_id, "fed_from")
    remedy = "leave fed_from away for a board fed from the main board"
    if feeder in job.sub_boards:
        if _loops(job, board_id):
            yield Finding(
                path,
                "sub-boards feed each other, round and round",
                feeder,
                remedy=remedy,
                leans_on=(("sub_boards",),),
            )
    elif feeder.casefold() in _MAIN_BOARD:
        yield Finding(path, "the main board is not a sub-board", feeder, remedy=remedy)
    else:
        yield from unknown(path, "sub-board", feeder, job.sub_boards)


def _loops(job: Job, start: str) -> bool:
    """Whether following the feeds from a sub-board comes back to it."""
    seen: set[str] = set()
    board = job.sub_boards.get(start)
    while board is not None and board.fed_from is not None and board.fed_from not in seen:
        if board.fed_from == start:
            return True
        seen.add(board.fed_from)
        board = job.sub_boards.get(board.fed_from)
    return False


def _circuit(job: Job, path: Path, circuit_id: str, circuit: Circuit) -> Iterator[Finding]:
    if circuit.rcd is not None:
        yield from unknown((*path, "rcd"), "RCD", circuit.rcd, job.rcds)
    if circuit.sub_board is not None:
        yield from unknown((*path, "sub_board"), "sub-board", circuit.sub_board, job.sub_boards)
    if circuit.shares_neutral_with is not None:
        others = set(job.circuits) - {circuit_id}
        where = (*path, "shares_neutral_with")
        yield from unknown(where, "other circuit", circuit.shares_neutral_with, others)
    yield from _phases(job, (*path, "phase"), circuit.phase)
    yield from _sub_board_phase(job, path, circuit)
    yield from _cable(path, circuit.cable_mm2)
    yield from _protection(path, circuit)


def _protection(path: Path, circuit: Circuit) -> Iterator[Finding]:
    if circuit.breaker_a is not None and circuit.fuse_a is not None:
        remedy = "keep the one that protects this way"
        yield Finding(path, "a way has either a breaker or a fuse, not both", remedy=remedy)
    if circuit.rewireable and circuit.fuse_a is None:
        remedy = "give its rating as fuse_a, or remove rewireable"
        yield Finding((*path, "rewireable"), "only a fuse can be rewireable", remedy=remedy)
    if circuit.curve is not None and circuit.breaker_a is None and circuit.fuse_a is not None:
        remedy = "remove curve, or give the rating as breaker_a"
        yield Finding(
            (*path, "curve"), "a fuse has no tripping curve B, C or D", circuit.curve, remedy=remedy
        )


def _sub_board_phase(job: Job, path: Path, circuit: Circuit) -> Iterator[Finding]:
    board = job.sub_boards.get(circuit.sub_board) if circuit.sub_board else None
    fed = phase_names(board.phase) if board else ()
    missing = [name for name in phase_names(circuit.phase) if fed and name not in fed]
    for name in missing:
        yield Finding(
            (*path, "phase"),
            f"sub-board {circuit.sub_board} has no such phase",
            name,
            ", ".join(fed),
            "correct the phase of the circuit or of its sub-board",
            leans_on=(("sub_boards", str(circuit.sub_board), "phase"),),
        )


def _phases_said(job: Job) -> tuple[Path, ...]:
    """Return the lines that tell which phases there are."""
    groups = (("circuits", job.circuits), ("sub_boards", job.sub_boards))
    named = ((group, name, "phase") for group, entries in groups for name in entries)
    return (("supply", "system"), *named)


def _phases(job: Job, path: Path, phase: str | tuple[str, ...] | None) -> Iterator[Finding]:
    system, phases = system_of(job), phases_of(job)
    named = phase_names(phase)
    for name in dict.fromkeys(named):
        if name not in phases:
            yield Finding(
                path,
                f"a {system} supply has no such phase",
                name,
                ", ".join(phases),
                "use these names, or correct supply.system",
                leans_on=_phases_said(job),
            )
        elif named.count(name) > 1:
            yield Finding(path, "a phase is named twice", name, remedy="name each phase once")
