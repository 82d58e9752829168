"""What the priced decisions of each kind say: changes, each with words, cost and edit."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from functools import partial, reduce

from spreadload.changes import (
    Change,
    ChangeKind,
    Cost,
    Edit,
    add_boards,
    add_leads,
    add_outlet,
    allow,
    drop_heads,
    move_load,
    move_some,
    price_of,
    run_in,
    swap_heads,
    total_cost,
    whose,
    without_load,
)
from spreadload.changes.edits import set_free
from spreadload.changes.generator import size_generator
from spreadload.check.words import circuit_name
from spreadload.derived.records import Point
from spreadload.job.job import Job
from spreadload.solver.model.variables import Linear
from spreadload.solver.what_if.menu import Instead
from spreadload.solver.what_if.priced import Option, Priced
from spreadload.units import tenths_up
from spreadload.words import in_setup, row, setup_name, setup_names

Value = Callable[[Linear], int]
_ONE_HEAD = "one head on a last-resort outlet"


def _cost(taken: list[tuple[Option, int]]) -> Cost:
    return total_cost(option.each for option, amount in taken for _ in range(amount))


def _chain(edits: list[Edit]) -> Edit:
    def edit(job: Job) -> Job:
        return reduce(lambda changed, each: each(changed), edits, job)

    return edit


def _unchanged(job: Job) -> Job:
    return job


def _stand_ins(priced: Priced, _: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    by_name: dict[str, list[tuple[Option, int]]] = defaultdict(list)
    for option, amount in taken:
        by_name[option.about[1]].append((option, amount))
    for name, uses in by_name.items():
        instead = priced.menu.instead[name]
        lit = [(o.about[2], o.about[3], n) for o, n in uses if o.about[0] == "use"]
        new = instead.stock or f"{instead.head} corrected"
        edits: list[Edit] = [
            partial(_swap, setup=setup, old=(instead.head, place, n), name=new, instead=instead)
            for setup, place, n in lit
        ]
        words = _stand_in_words(priced, instead, lit)
        yield Change(uses[0][0].kind, words, _cost(uses), _chain(edits))


def _swap(job: Job, *, setup: str, old: tuple[str, str, int], name: str, instead: Instead) -> Job:
    return swap_heads(job, setup, old, name, instead.entry)


def _stand_in_words(priced: Priced, instead: Instead, lit: list[tuple[str, str, int]]) -> str:
    places = row(dict.fromkeys(place for _, place, _ in lit))
    most = _most_per_setup(lit)
    head = f"{most} {instead.head}" if most > 1 else instead.head
    setups = setup_names(dict.fromkeys(setup for setup, _, _ in lit))
    if instead.is_same_light:
        plug = priced.menu.wide.loads[instead.name].plug
        is_other = plug != priced.menu.base.loads[instead.head].plug
        hired = "" if instead.stock else f", {f'plug {plug}, ' * is_other}to be hired"
        return f"{head} at {places} on a corrected ballast{hired} in {setups}"
    what = priced.menu.wide.loads[instead.name].what
    return f"{instead.stock} ({what}) in place of {head} at {places} in {setups}"


def _most_per_setup(lit: list[tuple[str, str, int]]) -> int:
    per: dict[str, int] = defaultdict(int)
    for setup, _, amount in lit:
        per[setup] += amount
    return max(per.values(), default=0)


def _some(priced: Priced, setup: str, head: str, place: str, amount: int) -> str:
    """Return how many of a head, and of how many where that is not all of those lit there."""
    asked = sum(
        demand.count
        for demand in priced.menu.base.demands[setup]
        if (demand.load, demand.place) == (head, place)
    )
    if amount < asked:
        return f"{amount} of {asked} {head}"
    return f"{amount} {head}" if amount > 1 else head


def _dropped(priced: Priced, __: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    for option, amount in taken:
        yield _without(priced, ChangeKind.DROP, option, amount, "left dark")


def _without(priced: Priced, kind: ChangeKind, option: Option, amount: int, done: str) -> Change:
    """Return what takes some heads of a place off the house, and what is done with them."""
    setup, head, place = option.about
    return Change(
        kind,
        f"{_some(priced, setup, head, place, amount)} at {place} {done}{in_setup(setup)}",
        _cost([(option, amount)]),
        partial(drop_heads, setup=setup, head=head, place=place, count=amount),
        setup,
        whose=_whose(priced, head),
    )


def _on_battery(priced: Priced, _: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    for option, amount in taken:
        if option.about[0] != "load":
            yield _without(priced, ChangeKind.BATTERY, option, amount, "on battery")
            continue
        load = option.about[1]
        setups = [s for s in priced.menu.setups if _is_on(priced, s, load)]
        edits: list[Edit] = [partial(without_load, setup=setup, load=load) for setup in setups]
        words = f"{_called(priced, load)} on battery in {setup_names(setups)}"
        cost = _cost([(option, amount)])
        by = _whose(priced, load)
        yield Change(ChangeKind.BATTERY, words, cost, _chain(edits), whose=by)


def _is_on(priced: Priced, setup: str, load: str) -> bool:
    return any(d.load == load for d in priced.menu.base.demands[setup])


def _generator(priced: Priced, __: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    heads = [(o.about, n) for o, n in taken if o.about[0] == "head"]
    if not heads:
        return
    lit = [(setup, place, n) for (_, setup, _, place), n in heads]
    most: dict[tuple[str, str], tuple[int, str]] = {}
    for (_, setup, head, place), n in heads:
        most[head, place] = max(most.get((head, place), (0, "")), (n, setup))
    names = row(
        [
            f"{_some(priced, setup, head, place, n)} at {place}"
            for (head, place), (n, setup) in most.items()
        ]
    )
    edits: list[Edit] = [
        partial(drop_heads, setup=setup, head=head, place=place, count=n)
        for (_, setup, head, place), n in heads
    ]
    setups = setup_names(dict.fromkeys(setup for setup, _, _ in lit))
    by_setup: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for (_, setup, head, _place), n in heads:
        by_setup[setup].append((head, n))
    sizes = [size_generator(priced.menu.base, loads) for loads in by_setup.values()]
    size = max(sizes, key=lambda each: each.plate_va)
    words = (
        f"{names} on a small generator, a set of {size.plate_va / 1000:g} kVA "
        f"({tenths_up(size.need.running_va / 1000)} kVA running), in {setups}"
    )
    yield Change(ChangeKind.GENERATOR, words, _cost(taken), _chain(edits))


def _turns(priced: Priced, _: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    for option, _n in taken:
        setup, load, partner = option.about
        yield Change(
            ChangeKind.TURNS,
            f"{_called(priced, load)} only while {partner} is off{in_setup(setup)}",
            option.each,
            partial(without_load, setup=setup, load=load),
            setup,
            partner,
            _whose(priced, load, partner),
        )


def _another_time(priced: Priced, _: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    for option, _n in taken:
        setup, load, target = option.about
        words = f"{_called(priced, load)} in {setup_name(target)} instead of {setup_name(setup)}"
        edit = partial(run_in, load=load, setup=target, instead_of=setup)
        by = _whose(priced, load)
        yield Change(ChangeKind.TIME, words, option.each, edit, setup, whose=by)


def _whose(priced: Priced, *loads: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(whose(priced.menu.base.job, load) for load in loads))


def _called(priced: Priced, load: str) -> str:
    """Return a load by its id, with what it is where that says more."""
    return _with_what(load, priced.menu.base.loads[load].what)


def _with_what(load: str, what: str) -> str:
    return load if what.casefold() == load.casefold() else f"{load} ({what})"


def _off(priced: Priced, _: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    for option, amount in taken:
        setup, load = option.about
        edit = partial(without_load, setup=setup, load=load, count=amount)
        words = f"{_part(priced, setup, load, amount)}{_called(priced, load)} off{in_setup(setup)}"
        cost, by = _cost([(option, amount)]), _whose(priced, load)
        yield Change(ChangeKind.OFF, words, cost, edit, setup, whose=by)


def _part(priced: Priced, setup: str, load: str, amount: int) -> str:
    """Return ``1 of 2 `` where that is not all of a department's load, else nothing."""
    asked = sum(d.count for d in priced.menu.base.demands[setup] if d.load == load)
    return f"{amount} of {asked} " if amount < asked else ""


def _agreed_off(priced: Priced, _: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    yield from agreed_off(priced.menu.base.job, [option.about for option, _n in taken])


def agreed_off(job: Job, off: Iterable[tuple[str, ...]]) -> Iterator[Change]:
    """Yield what goes off by agreement, one change a load, from (set-up, load) pairs."""
    each = price_of(job.costs, minutes=job.costs.agreed_off_min)
    setups: dict[str, list[str]] = defaultdict(list)
    for setup, load in off:
        setups[load].append(setup)
    for load, named in setups.items():
        when = [s.id for s in job.setups if s.id in named]
        stated = job.loads[load]
        called = _with_what(load, stated.what or load)
        words = f"{called} off in {setup_names(when)}, as agreed it may be"
        cost = total_cost([each] * len(when))
        by = (whose(job, load),)
        yield Change(ChangeKind.AGREED_OFF, words, cost, _unchanged, whose=by)


def _asked_off(priced: Priced, value: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    for option, _n in taken:
        (load,) = option.about
        setups = [s for (s, other), off in priced.v.off.items() if other == load and value(off)]
        edits: list[Edit] = [partial(without_load, setup=setup, load=load) for setup in setups]
        words = f"{_called(priced, load)} kept off in {setup_names(setups)}, if the owner agrees"
        yield Change(ChangeKind.ASKED_OFF, words, option.each, _chain(edits))


def _moved(priced: Priced, value: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    for option, _n in taken:
        load, name = option.about
        units = [
            (demand.setup, each.point.outlet, count)
            for demand, options in priced.v.options.items()
            if demand.load == name
            for each in options
            if not _is_as_asked(priced, load, each.point)
            and (count := value(priced.v.units_at(demand, each.point.id)))
        ]
        if not units:
            continue
        outlets = sorted({outlet for _, outlet, _ in units})
        counts = {setup: sum(n for s, _, n in units if s == setup) for setup, _, _ in units}
        parts = (_part(priced, setup, load, count) for setup, count in counts.items())
        part = next(filter(None, parts), "")
        edit: Edit = partial(set_free, load=load)
        where = row(outlets)
        if len(outlets) == 1:
            known = priced.menu.base.job.outlets.get(outlets[0])
            # A new outlet is called by its room already.
            where = f"{where} in {known.room}" if known is not None and known.room else where
            edit = partial(move_load, load=load, outlet=outlets[0])
            if part:
                edit = partial(move_some, load=load, outlet=outlets[0], counts=counts)
        words = f"{part}{_called(priced, load)} moves to {where}"
        by = _whose(priced, load)
        yield Change(ChangeKind.MOVE, words, option.each, edit, whose=by)


def _is_as_asked(priced: Priced, load: str, point: Point) -> bool:
    """Whether a load may be at a point without moving."""
    stated = priced.menu.base.job.departments[load]
    return point.outlet == stated.outlet or (stated.room is not None and point.room == stated.room)


def _last_resort(priced: Priced, _: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    for option, amount in taken:
        names = option.about[0]
        labels = [
            circuit_name(priced.menu.base, c)
            for c in names.split("/")
            if c in priced.menu.base.circuits
        ]
        heads = f"{amount} heads on last-resort outlets" if amount > 1 else _ONE_HEAD
        words = f"{heads} of {row(labels)}"
        yield Change(ChangeKind.LAST_RESORT, words, _cost([(option, amount)]), _unchanged)


def _leave(_: Priced, __: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    for option, _n in taken:
        group, name = option.about
        edit: Edit = partial(allow, circuits=(name,))
        if group == "outlet":
            edit = partial(allow, outlets=(name,))
        words = f"the owner's leave to use {group} {name}, now off limits"
        yield Change(ChangeKind.LEAVE, words, option.each, edit)


def _leads(priced: Priced, _: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    for option, amount in taken:
        board = priced.menu.extra_board
        if option.about == ("board",) and board is not None:
            several = f"{amount} power boards" if amount > 1 else "a power board"
            words = f"{several} of {board.ways} ways to hire, none being listed"
            more = partial(add_boards, board=board.model_copy(update={"count": amount}))
            yield Change(ChangeKind.LEADS, words, _cost([(option, amount)]), more)
            continue
        index = int(option.about[0])
        lead = priced.menu.extra_leads[index - priced.menu.first_extra_lead]
        name = priced.menu.wide.leads[index].name
        several = f"{amount} more leads" if amount > 1 else "one more lead"
        edit = partial(add_leads, leads=(lead.model_copy(update={"count": amount}),))
        yield Change(
            ChangeKind.LEADS, f"{several} of {name} to hire", _cost([(option, amount)]), edit
        )


def _outlets(priced: Priced, _: Value, taken: list[tuple[Option, int]]) -> Iterator[Change]:
    for option, _n in taken:
        name = option.about[1]
        outlet, circuit = priced.menu.new_outlets[name]
        words = (
            f"a {circuit.breaker_a:g} A outlet ({outlet.plug}) on a way of its own in "
            f"{outlet.room}, put in by a licensed electrician"
        )
        edit = partial(add_outlet, name=name, outlet=outlet, circuit=circuit)
        yield Change(ChangeKind.OUTLET, words, option.each, edit)


Reader = Callable[[Priced, Value, list[tuple[Option, int]]], Iterator[Change]]
READERS: dict[ChangeKind, Reader] = {
    ChangeKind.BALLAST: _stand_ins,
    ChangeKind.SWAP: _stand_ins,
    ChangeKind.DROP: _dropped,
    ChangeKind.BATTERY: _on_battery,
    ChangeKind.GENERATOR: _generator,
    ChangeKind.TURNS: _turns,
    ChangeKind.TIME: _another_time,
    ChangeKind.OFF: _off,
    ChangeKind.AGREED_OFF: _agreed_off,
    ChangeKind.ASKED_OFF: _asked_off,
    ChangeKind.MOVE: _moved,
    ChangeKind.LAST_RESORT: _last_resort,
    ChangeKind.LEAVE: _leave,
    ChangeKind.LEADS: _leads,
    ChangeKind.OUTLET: _outlets,
}
