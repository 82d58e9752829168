"""Tape labels in the order they are printed: outlets, leads, power boards, the board, cards."""

from collections import defaultdict
from collections.abc import Iterator

from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuits_of, point_name, unit_name
from spreadload.explain.sheet.board import ways_in_order
from spreadload.explain.sheet.department_table import shares
from spreadload.explain.sheet.records import Table
from spreadload.units import MILLI, shown_capacity_amps
from spreadload.words import row, setup_names

_LIGHTING = "LIGHTING"
_SHOWN_CIRCUITS = 2

Label = tuple[str, str, str]


def label_table(judged: JudgedPlan) -> Table:
    """Return every label with what it is stuck on and its two lines."""
    labels = (
        *_outlets(judged),
        *_leads(judged),
        *_boards(judged),
        *_ways(judged),
        *_departments(judged),
    )
    numbered = tuple((str(n), *each) for n, each in enumerate(labels, start=1))
    columns = ("no.", "stick on", "line 1", "line 2")
    return Table("tape-labels", "Tape labels, in print order", columns, numbered)


def _outlets(judged: JudgedPlan) -> Iterator[Label]:
    users: dict[str, dict[str, None]] = defaultdict(dict)
    for p in judged.known:
        users[judged.point(p).outlet][_user(judged, p.load)] = None
    for outlet_id in judged.facts.job.outlets:
        point = judged.facts.points[outlet_id]
        circuits = circuits_of(point)
        named = "/".join(circuits) if len(circuits) <= _SHOWN_CIRCUITS else "?"
        there = list(users[outlet_id])
        if there == [_LIGHTING]:
            whose = "LIGHTING ONLY"
        elif point.is_off_limits and not there:
            whose = "DO NOT USE"
        else:
            whose = row(there) or "ask lighting first"
        yield "outlet", f"{outlet_id} · {named}", whose


def _user(judged: JudgedPlan, load: str) -> str:
    stated = judged.facts.load_stated(load)
    return _LIGHTING if stated is None else (stated.by or f"house {load}")


def _leads(judged: JudgedPlan) -> Iterator[Label]:
    """Yield both ends of each lead; one that lies the same in several set-ups is told once."""
    lies: dict[tuple[str, str], list[str]] = defaultdict(list)
    for setup, placements in judged.by_setup.items():
        for p in placements:
            if p.lead is not None:
                name = unit_name(judged.facts, p.load, p.unit)
                at = f"{name}, {p.place}" if p.place else name
                lies[point_name(judged.point(p)), at].append(setup)
        # A lead with a board at its end is one lead, whatever is plugged into the board.
        boards = {(p.point, p.socket, p.place): p for p in placements if p.board_lead is not None}
        for p in boards.values():
            at = f"power board, {p.place}" if p.place else "power board"
            lies[point_name(judged.point(p)), at].append(setup)
    for (outlet, name), setups in lies.items():
        when = setup_names(dict.fromkeys(setups))
        yield "lead, plug end", outlet, f"{name} · {when}"
        yield "lead, socket end", name, f"from {outlet} · {when}"


def _boards(judged: JudgedPlan) -> Iterator[Label]:
    """Yield a label for each power board: where it lies and what it has left when fullest."""
    on: dict[tuple[str, str, int, int], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for p in judged.known:
        if p.board is not None and 0 <= p.board < len(judged.facts.boards):
            lies_at = (p.place or "") if p.board_lead is not None else ""
            on[p.point, lies_at, p.socket, p.board][p.setup] += judged.unit_ma(p)
    for (point_id, lies_at, _, board_index), by_setup in on.items():
        rating_ma = judged.facts.boards[board_index].rating_ma
        left = shown_capacity_amps(max(rating_ma - max(by_setup.values()), 0) / MILLI)
        fed = f"fed from {point_name(judged.facts.points[point_id])}"
        where = f"{fed}, lies at {lies_at}" if lies_at else fed
        yield "power board", where, f"{left} A left · {setup_names(by_setup)}"


def _ways(judged: JudgedPlan) -> Iterator[Label]:
    for circuit_id in ways_in_order(judged):
        circuit = judged.facts.circuits[circuit_id]
        if circuit.can_feed_outlets:
            cap = shown_capacity_amps(circuit.cap_ma / MILLI)
            yield "board, beside the way", f"{circuit_id} · {cap} A", "do not reset, call lighting"
    yield "board card", "do not reset, call lighting:", "phone"


def _departments(judged: JudgedPlan) -> Iterator[Label]:
    every_setup = tuple(setup.id for setup in judged.facts.job.setups)
    for share in shares(judged):
        barred = "" if share.is_heat else ", no heaters"
        when = "" if share.setups == every_setup else f" · {setup_names(share.setups)}"
        outlet = point_name(share.point)
        if share.department:
            yield (
                "card",
                share.department,
                f"yours: outlet {outlet}, up to {share.amps} A{barred}{when}",
            )
