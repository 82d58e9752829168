"""The board as it sits on the wall, one set-up at a time."""

from collections import defaultdict
from collections.abc import Iterable

from spreadload.derived.board import read_way
from spreadload.explain.answer import tightest_words
from spreadload.explain.first_moves import FirstMove
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuits_of, device_name, one_of, units_name
from spreadload.explain.plug_lines import PlugLine, lines_by_circuits
from spreadload.explain.sheet.records import Meter, SetupPage, Unsure, Way
from spreadload.job.day import Setup
from spreadload.plan import Usage
from spreadload.units import MILLI, shown_amps, shown_capacity_amps
from spreadload.words import in_setup, natural, row

_KNOWN_RANK = ("tested", "told", "labelled", "stated", "guessed")


def setup_pages(judged: JudgedPlan, first_moves: Iterable[FirstMove] = ()) -> tuple[SetupPage, ...]:
    """Return every set-up as a board, in the order of the day."""
    moves = {(move.setup, move.circuit): move for move in first_moves}
    return tuple(_page(judged, setup, moves) for setup in judged.facts.job.setups)


def main_setup(judged: JudgedPlan) -> str:
    """Return the set-up that takes most from the street: the one a single page shows in full."""
    total_a = {
        setup: sum(usage.current_a for usage in usages if usage.kind == "phase")
        for setup, usages in judged.usages.items()
    }
    return max(total_a, key=lambda setup: total_a[setup])


def ways_in_order(judged: JudgedPlan) -> tuple[str, ...]:
    """Return circuits as they sit on the wall: board by board, by way where ways are numbered."""
    circuits = judged.facts.job.circuits
    boards: dict[str | None, list[str]] = defaultdict(list)
    for circuit_id, circuit in circuits.items():
        boards[circuit.sub_board].append(circuit_id)
    found: list[str] = []
    for board in sorted(boards, key=lambda b: (b is not None, b or "")):
        ids = boards[board]
        if all(circuits[c].way for c in ids):
            ids = sorted(ids, key=lambda c: natural(circuits[c].way or ""))
        found += ids
    return tuple(found)


def _page(judged: JudgedPlan, setup: Setup, moves: dict[tuple[str, str], FirstMove]) -> SetupPage:
    plugs = lines_by_circuits(judged, setup.id)
    ways = tuple(
        _way(judged, (setup.id, c), plugs.get((c,), ()), moves.get((setup.id, c)))
        for c in ways_in_order(judged)
    )
    unsure = tuple(
        Unsure(one_of(circuits), _counted(judged, setup.id, circuits), tuple(there))
        for circuits, there in plugs.items()
        if len(circuits) != 1
    )
    top = judged.fullest(setup.id)
    return SetupPage(
        id=setup.id,
        name=setup.name,
        window=f"{setup.from_} to {setup.to}" if setup.from_ and setup.to else "",
        ways=ways,
        unsure=unsure,
        meters=_meters(judged, setup.id),
        tightest=tightest_words(judged.facts, top).removesuffix(in_setup(setup.id)),
        fullest_pct=top.used_pct if top else 0,
        volts=_volts(judged, setup.id),
        dark=_dark(judged, setup.id),
    )


def _counted(judged: JudgedPlan, setup: str, circuits: tuple[str, ...]) -> str:
    points = [judged.point(p) for p in judged.by_setup[setup]]
    left = any(p.exposure.left_to_maps and circuits_of(p) == circuits for p in points)
    return "in no sum above; see the chance" if left else "counted on each"


def _way(
    judged: JudgedPlan,
    at: tuple[str, str],
    plugged: Iterable[PlugLine],
    move: FirstMove | None,
) -> Way:
    setup, circuit_id = at
    job, facts = judged.facts.job, judged.facts.circuits[circuit_id]
    stated = job.circuits[circuit_id]
    top = _fullest(judged, setup, circuit_id)
    is_loaded = top is not None and top.counted_a > 0
    used_pct = top.used_pct if top is not None else 0
    return Way(
        id=circuit_id,
        label=stated.label,
        board=_board_name(judged, stated.sub_board),
        way=stated.way or "",
        rating=f"{facts.breaker_ma / MILLI:g}",
        feeds=read_way(job, circuit_id).feeds.value,
        use=stated.use.value,
        rcds=row(sorted(facts.rcds)),
        phases=" ".join(facts.phases) if len(judged.facts.supply.phases) > 1 else "",
        known=_known(judged, circuit_id),
        plugged=tuple(plugged),
        amps=shown_amps(top.counted_a) if top is not None and is_loaded else "",
        left=shown_capacity_amps(max(top.limit_a - top.counted_a, 0.0)) if top else "",
        used_pct=used_pct,
        elsewhen=_elsewhen(judged, setup, circuit_id),
        first_move=move,
        mark=mark_of(judged, circuit_id),
    )


def mark_of(judged: JudgedPlan, circuit_id: str) -> int:
    """Return the number of a circuit's pattern and colour, the same everywhere on the sheet."""
    feeding = [c for c in ways_in_order(judged) if judged.facts.circuits[c].can_feed_outlets]
    return feeding.index(circuit_id) if circuit_id in feeding else -1


def _fullest(judged: JudgedPlan, setup: str, circuit_id: str) -> Usage | None:
    poles = [u for u in judged.usages[setup] if u.kind == "circuit" and u.id == circuit_id]
    return max(poles, key=lambda u: u.used_pct, default=None)


def _board_name(judged: JudgedPlan, board: str | None) -> str:
    return "" if board is None else judged.facts.job.sub_boards[board].label or board


def _known(judged: JudgedPlan, circuit_id: str) -> str:
    """Return the weakest way in which an outlet of a circuit is known."""
    ways = {
        (outlet.known.value if outlet.known else "stated")
        for outlet in judged.facts.job.outlets.values()
        if outlet.circuit == circuit_id
    }
    return max(ways, key=_KNOWN_RANK.index, default="")


def _elsewhen(judged: JudgedPlan, setup: str, circuit_id: str) -> tuple[tuple[str, str], ...]:
    found = []
    for other in judged.facts.demands:
        top = _fullest(judged, other, circuit_id)
        if other != setup and top is not None and top.counted_a > 0:
            found.append((other, shown_amps(top.counted_a)))
    return tuple(found)


def _meters(judged: JudgedPlan, setup: str) -> tuple[Meter, ...]:
    """Return phases, feeds and rated RCDs that carry anything, neutral and contract as amps."""
    found = []
    limits = judged.limits(setup)
    for usage in limits:
        if usage.kind == "circuit" or usage.current_a <= 0:
            continue
        amps = usage.counted_a if usage.kind == "feed" else usage.current_a
        name = device_name(judged.facts, usage)
        limit = shown_capacity_amps(usage.limit_a)
        found.append(Meter(name, shown_amps(amps), limit, usage.used_pct))
    rank = {"phase": 0, "neutral": 1, "contract": 2, "feed": 3, "rcd amps": 4}
    kinds = {device_name(judged.facts, u): rank.get(u.kind, len(rank)) for u in limits}
    return tuple(sorted(found, key=lambda m: (kinds[m.name], m.name)))


def _volts(judged: JudgedPlan, setup: str) -> str:
    seen = next((v for v in judged.verdict.volts if v.setup == setup), None)
    if seen is None:
        return ""
    if seen.collapse:
        return seen.collapse
    lowest = f", lowest {seen.lowest_v:.0f} V at {seen.lowest}" if seen.lowest else ""
    return f"{seen.board_v:.0f} V at the board under load (idle {seen.idle_v:.0f} V){lowest}"


def _dark(judged: JudgedPlan, setup: str) -> str:
    units: dict[str, list[int]] = defaultdict(list)
    for left in judged.plan.left_out:
        if left.setup == setup and left.load in judged.facts.loads:
            units[left.load].append(left.unit)
    return row(units_name(judged.facts, load, numbers) for load, numbers in units.items())
