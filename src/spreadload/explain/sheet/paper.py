"""The power plan in the fewest words that one printed page needs: same facts, shorter lines.

What is worked out elsewhere is only said more briefly here. Never imports the solver.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from spreadload.explain.assumed import Assumption
from spreadload.explain.briefing import Briefing
from spreadload.explain.day_moves import Change
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.light import Staying
from spreadload.explain.names import (
    circuit_name,
    circuits_of,
    one_of,
    point_name,
    unit_name,
    units_name,
)
from spreadload.explain.sentences import carried_words, run_words
from spreadload.explain.sheet.records import (
    Bundle,
    Moves,
    Paper,
    PaperOutlet,
    PaperUnsure,
    PaperWay,
    SetupPage,
    Unsure,
    Way,
)
from spreadload.plan import Placement
from spreadload.units import MILLI, shown_amps
from spreadload.words import row, setup_name

# More set-ups than this are named in words, not given a column each; a matter of layout only.
_MOST_COLUMNS = 4
_MOST_LIT = 4
_MOST_NAMED = 4
_LONGEST_NAME = 32

_BRIEFLY = {
    "amps": "estimated, not measured, for {count} loads",
    "leakage": "taken by kind of load for {count} loads",
    "plug": "taken to be the ordinary one on {count} loads",
}

Circuits = tuple[str, ...]


def paper(briefing: Briefing, main: SetupPage) -> Paper:
    """Return what the printed page says of its set-up and of the day.

    Args:
        briefing: The plan, explained.
        main: The set-up shown in full.
    """
    judged = briefing.judged
    others = tuple(s.id for s in judged.facts.job.setups if s.id != main.id)
    plugs = _outlets(judged, main.id)
    used = [way for way in main.ways if way.amps or way.elsewhen]
    wired = [way for way in used if _is_wired_all_day(way, others)]
    return Paper(
        others=others if len(others) <= _MOST_COLUMNS else (),
        ways=tuple(_way(way, plugs.get((way.id,), ()), others) for way in used if way not in wired),
        unsure=tuple(_unsure(main, each, plugs, used) for each in main.unsure),
        wired="; ".join(_wired(way) for way in wired),
        unused=row(_unused(way) for way in main.ways if way not in used and not way.first_move),
        moves=tuple(_moves(judged, change) for change in briefing.changes),
        staying=_staying(briefing),
        stay_on=tuple(_stays_on(briefing)),
        unproven=tuple(_unproven(briefing.assumptions)),
    )


def _stays_on(briefing: Briefing) -> Iterator[str]:
    """Yield what must stay on, with the circuits on which heads would take it along."""
    for load in briefing.stay_on:
        beside = [shared.circuit for shared in briefing.shared if load in shared.loads]
        known = list(dict.fromkeys(circuit for circuit in beside if circuit is not None))
        if known:
            yield f"{load} ({row(known)}, with heads)"
        else:
            yield f"{load} (with heads?)" if beside else load


def _way(way: Way, outlets: Sequence[PaperOutlet], others: Circuits) -> PaperWay:
    amps = dict(way.elsewhen)
    many = (
        "" if len(others) <= _MOST_COLUMNS else row(f"{setup_name(s)} {a}" for s, a in way.elsewhen)
    )
    wired = [p for p in way.plugged if p.outlet == "wired"]
    hard = [PaperOutlet("wired", (Bundle(tuple((p.item, p.amps) for p in wired), ""),))]
    return PaperWay(
        way=way,
        outlets=(*outlets, *(hard if wired else ())),
        elsewhen=tuple(amps.get(other, "") for other in others),
        elsewhen_words=many,
    )


def _unsure(
    main: SetupPage, each: Unsure, plugs: dict[Circuits, list[PaperOutlet]], used: Sequence[Way]
) -> PaperUnsure:
    there = next((o for circuits, o in plugs.items() if one_of(circuits) == each.circuits), [])
    # What is only likely to hang on a way has no row there, but has to move if that trips.
    is_last = each is main.unsure[-1]
    likely = tuple(w for w in main.ways if is_last and w not in used and w.first_move is not None)
    return PaperUnsure(each.circuits, each.counted, tuple(there), likely)


def _is_wired_all_day(way: Way, others: Circuits) -> bool:
    """Return whether a way carries wired loads alone and as much of them in every set-up."""
    wired_only = bool(way.plugged) and all(p.outlet == "wired" for p in way.plugged)
    return wired_only and way.elsewhen == tuple((setup, way.amps) for setup in others)


def _wired(way: Way) -> str:
    items = ", ".join(f"{p.item} {p.amps}" for p in way.plugged)
    return f"{way.id} {way.rating} A: {items}, left {way.left}"


def _unused(way: Way) -> str:
    use = "" if way.use == "allowed" else f" {way.use}"
    return f"{way.id} {way.rating} A{use}"


def _outlets(judged: JudgedPlan, setup: str) -> dict[Circuits, list[PaperOutlet]]:
    """Return what is plugged in, outlet by outlet, units on the same lead or board together."""
    together: dict[str, dict[str, dict[str, list[Placement]]]] = defaultdict(
        lambda: defaultdict(lambda: defaultdict(list))
    )
    for p in judged.by_setup[setup]:
        run = run_words(judged.facts, (p.board, p.board_lead, p.lead))
        together[p.point][_brief_run(run)][p.load].append(p)
    found: dict[Circuits, list[PaperOutlet]] = defaultdict(list)
    for point_id, point in judged.facts.points.items():
        if point_id in together:
            bundles = [_bundle(judged, run, units) for run, units in together[point_id].items()]
            found[circuits_of(point)].append(PaperOutlet(point_name(point), tuple(bundles)))
    return found


def _bundle(judged: JudgedPlan, run: str, units: dict[str, list[Placement]]) -> Bundle:
    items = (
        (
            units_name(judged.facts, load, [p.unit for p in there]),
            shown_amps(sum(judged.unit_ma(p) for p in there) / MILLI),
        )
        for load, there in units.items()
    )
    return Bundle(tuple(items), run)


def _brief_run(words: str) -> str:
    return words.replace("board on ", "board ").replace(" lead", "").replace(", ", " + ")


def _moves(judged: JudgedPlan, change: Change) -> Moves:
    facts = judged.facts
    move = (
        f"{unit_name(facts, r.load, r.unit)} {point_name(facts.points[r.from_point])} → "
        f"{point_name(facts.points[r.to_point])}"
        + (f" ({r.cool_down_min} min dark)" if r.cool_down_min else "")
        for r in change.replugs
    )
    kill, light = _by_outlet(judged, change.struck), _by_outlet(judged, change.added)
    carry = tuple(carried_words(facts, each) for each in change.carried)
    return Moves(change.before, change.after, kill, tuple(move), carry, light)


def _by_outlet(judged: JudgedPlan, units: Iterable[Placement]) -> tuple[str, ...]:
    """Return units outlet by outlet, the outlet first: ``D18 practicals, chargers``."""
    together: dict[str, dict[str, list[int]]] = defaultdict(lambda: defaultdict(list))
    for p in units:
        together[p.point][p.load].append(p.unit)
    return tuple(
        f"{point_name(point)} "
        + ", ".join(units_name(judged.facts, load, u) for load, u in together[point_id].items())
        for point_id, point in judged.facts.points.items()
        if point_id in together
    )


def _staying(briefing: Briefing) -> tuple[str, ...]:
    """Return, per set-up, every device that leaves no light and the worst of the others."""
    by_setup: dict[str, list[Staying]] = defaultdict(list)
    for entry in briefing.staying:
        by_setup[entry.setup].append(entry)
    return tuple(_worst(briefing.judged, setup, there) for setup, there in by_setup.items())


def _worst(judged: JudgedPlan, setup: str, there: list[Staying]) -> str:
    none = [_device(judged, entry) for entry in there if not entry.lit]
    rest = [entry for entry in there if entry.lit]
    said = [f"NO LIGHT if {row(none, 'or')} goes"] if none else []
    if rest:
        worst = min(rest, key=lambda entry: len(entry.lit))
        if_goes = f"if {_device(judged, worst)} goes, the worst,"
        said.append(f"{if_goes} {_lit(judged, worst)} stay{'s' * (len(worst.lit) == 1)} on")
    return f"{setup_name(setup)}: {'; else '.join(said)}"


def _device(judged: JudgedPlan, entry: Staying) -> str:
    is_circuit = entry.kind == "circuit"
    name = circuit_name(judged.facts, entry.device) if is_circuit else entry.device
    return name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1]}…"


def _lit(judged: JudgedPlan, entry: Staying) -> str:
    by_load: dict[str, list[int]] = defaultdict(list)
    for p in entry.lit:
        by_load[p.load].append(p.unit)
    if len(entry.lit) > _MOST_LIT:
        names = [f"{len(units)} x {load}" for load, units in by_load.items()]
    else:
        names = [units_name(judged.facts, load, units) for load, units in by_load.items()]
    more = sum(len(units) for units in list(by_load.values())[_MOST_LIT:])
    return ", ".join(names[:_MOST_LIT]) + (f" and {more} more" if more else "")


def _unproven(assumptions: Iterable[Assumption]) -> Iterator[str]:
    """Yield assumptions; many of one kind are told in one line, as the lists name them all."""
    by_about: dict[str, list[Assumption]] = defaultdict(list)
    for each in assumptions:
        by_about[each.about].append(each)
    for about, there in by_about.items():
        touches = [touched for each in there for touched in each.touches]
        if about in _BRIEFLY and len(touches) > _MOST_NAMED:
            yield f"{about}: {_BRIEFLY[about].format(count=len(touches))}"
        elif about == "board" and len(there) > 1:
            yield f"board: what {row(touches)} feed is read off labels or assumed"
        else:
            yield from (f"{about}: {each.brief or each.text}" for each in there)
