"""Edits of a job, each from one frozen job to another."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from spreadload.derived.asked import counts_by_place, runs_unasked
from spreadload.derived.board import read_way
from spreadload.job.day import Setup
from spreadload.job.job import Job
from spreadload.job.kit import Head, Lead, Load, Policy, PowerBoard
from spreadload.job.site import Circuit, Feeds, HowKnown, Outlet, Permission

Edit = Callable[[Job], Job]


def drop_heads(job: Job, setup: str, head: str, place: str, count: int) -> Job:
    """Return the job with so many units of a head fewer at a place of a set-up."""

    def fewer(stated: Setup) -> dict[str, Any]:
        heads = {name: counts_by_place(places) for name, places in stated.heads.items()}
        left = heads[head].get(place, 0) - count
        heads[head][place] = left
        kept = {name: _positive(places) for name, places in heads.items()}
        return {"heads": {name: places for name, places in kept.items() if places}}

    return _in_setup(job, setup, fewer)


def without_heads(job: Job, setup: str, head: str) -> Job:
    """Return the job with every unit of a head gone from one set-up."""
    return _in_setup(
        job, setup, lambda s: {"heads": {h: p for h, p in s.heads.items() if h != head}}
    )


def swap_heads(job: Job, setup: str, old: tuple[str, str, int], name: str, new: Head) -> Job:
    """Return the job with units of a head replaced in one set-up.

    Args:
        job: The job.
        setup: Set-up id.
        old: Head id, place and how many units.
        name: Id of the replacement; added to the heads, or counted up if it is there.
        new: What the replacement is.
    """
    head, place, count = old

    def more(stated: Setup) -> dict[str, Any]:
        heads = {n: counts_by_place(places) for n, places in stated.heads.items()}
        there = heads.setdefault(name, {})
        there[place] = there.get(place, 0) + count
        return {"heads": heads}

    known = job.heads.get(name)
    priority = job.heads[head].priority
    entry = known or new.model_copy(update={"priority": priority, "swaps": ()})
    changed = _in_setup(drop_heads(job, setup, head, place, count), setup, more)
    on_list = _most_lit(changed, name)
    if entry.count < on_list:
        entry = entry.model_copy(update={"count": on_list})
    stock = {n: stocked for n, stocked in job.stock.items() if n != name}
    heads = {
        n: h.model_copy(update={"swaps": tuple(swap for swap in h.swaps if swap != name)})
        for n, h in (changed.heads | {name: entry}).items()
    }
    return changed.model_copy(update={"heads": heads, "stock": stock})


def without_load(job: Job, setup: str, load: str, count: int | None = None) -> Job:
    """Return the job with a department's or house load not on house power in one set-up.

    A load that is on without being named there stays on in every other set-up by being named.

    Args:
        job: The job.
        setup: Set-up id.
        load: Load id.
        count: How many of its units; all of them if left out.
    """
    stated = job.loads[load]
    if stated.policy is Policy.MUST_STAY_ON or stated.starts_by_itself:
        on_by_name = {"policy": None, "starts_by_itself": False, "starts_from": None}
        plain = stated.model_copy(update=on_by_name | {"starts_to": None})
        job = replaced_load(job, load, plain)
        for other in job.setups:
            if other.id != setup and runs_unasked(stated, other):
                job = _in_setup(job, other.id, partial(_with_on, job, load, stated.count))
    left = 0 if count is None else _on(job, job.setup(setup)).get(load, stated.count) - count
    return _in_setup(job, setup, partial(_with_on, job, load, max(left, 0)))


def run_in(job: Job, load: str, setup: str, instead_of: str) -> Job:
    """Return the job with as many units of a load on in one set-up as were in another."""
    was_on = _on(job, job.setup(instead_of)).get(load)
    stated = job.loads[load]
    away = without_load(job, instead_of, load)
    return _in_setup(away, setup, partial(_with_on, away, load, was_on or stated.count))


def move_load(job: Job, load: str, outlet: str) -> Job:
    """Return the job with a department's load at another outlet."""
    stated = job.loads[load]
    moved = stated.model_copy(update={"outlet": outlet, "room": None, "place": None})
    return replaced_load(job, load, moved)


def move_some(job: Job, load: str, outlet: str, counts: Mapping[str, int]) -> Job:
    """Return the job with some units of a department's load at another outlet, under a new id.

    Args:
        job: The job.
        load: Load id.
        outlet: The outlet they go to.
        counts: How many of them, by set-up.
    """
    name = f"{load} at {outlet}"
    moved = job.loads[load].model_copy(
        update={"outlet": outlet, "room": None, "place": None, "count": max(counts.values())}
    )
    job = job.model_copy(update={"departments": job.departments | {name: moved}})
    for setup, count in counts.items():
        job = without_load(job, setup, load, count)
        job = _in_setup(job, setup, partial(_with_on, job, name, count))
    return job


def set_free(job: Job, load: str) -> Job:
    """Return the job with a load that may be plugged in anywhere."""
    stated = job.loads[load]
    free = stated.model_copy(update={"outlet": None, "room": None, "place": None})
    return replaced_load(job, load, free)


def allow(job: Job, *, circuits: tuple[str, ...] = (), outlets: tuple[str, ...] = ()) -> Job:
    """Return the job with circuits and outlets no longer off limits."""
    return _with_use(job, Permission.LAST_RESORT, circuits, outlets)


def forbid(job: Job, *, circuits: tuple[str, ...] = (), outlets: tuple[str, ...] = ()) -> Job:
    """Return the job with circuits and outlets off limits."""
    return _with_use(job, Permission.OFF_LIMITS, circuits, outlets)


def _with_use(
    job: Job, use: Permission, circuits: tuple[str, ...], outlets: tuple[str, ...]
) -> Job:
    changed = {"use": use}
    return job.model_copy(
        update={
            "circuits": {
                name: circuit.model_copy(update=changed) if name in circuits else circuit
                for name, circuit in job.circuits.items()
            },
            "outlets": {
                name: outlet.model_copy(update=changed) if name in outlets else outlet
                for name, outlet in job.outlets.items()
            },
        }
    )


def add_leads(job: Job, leads: tuple[Lead, ...]) -> Job:
    """Return the job with more leads on the van; indices of the old ones stay as they are."""
    return job.model_copy(update={"leads": (*job.leads, *leads)})


def add_boards(job: Job, board: PowerBoard) -> Job:
    """Return the job with power boards of one more kind on the van."""
    return job.model_copy(update={"power_boards": (*job.power_boards, board)})


def add_outlet(job: Job, name: str, outlet: Outlet, circuit: Circuit) -> Job:
    """Return the job with one more outlet on a circuit of its own, both of one name."""
    own = circuit.model_copy(update={"feeds": Feeds.OUTLETS})
    # An outlet of unknown circuit is on one of the old circuits, never on the new one.
    feeding = tuple(c for c in job.circuits if read_way(job, c).feeds is Feeds.OUTLETS)
    old = {
        outlet_id: stated
        if stated.circuit is not None or stated.maybe_on
        else stated.model_copy(update={"maybe_on": feeding})
        for outlet_id, stated in job.outlets.items()
    }
    fitted = outlet.model_copy(update={"circuit": name, "known": HowKnown.TESTED})
    return job.model_copy(
        update={
            "circuits": job.circuits | {name: own},
            "outlets": old | {name: fitted},
        }
    )


def _positive(places: Mapping[str, int]) -> dict[str, int]:
    return {place: count for place, count in places.items() if count > 0}


def _most_lit(job: Job, head: str) -> int:
    lit = (counts_by_place(s.heads[head]) for s in job.setups if head in s.heads)
    return max((sum(places.values()) for places in lit), default=1)


def _on(job: Job, setup: Setup) -> dict[str, int]:
    """Return what is named as on in a set-up, with how many of each."""
    if isinstance(setup.on, dict):
        return dict(setup.on)
    loads = job.loads
    return {name: loads[name].count for name in setup.on}


def _with_on(job: Job, load: str, count: int, setup: Setup) -> dict[str, Any]:
    on = _on(job, setup) | {load: count}
    return {"on": {name: number for name, number in on.items() if number}}


def replaced_load(job: Job, name: str, load: Load) -> Job:
    """Return the job with another entry for a department's or house load."""
    group = "departments" if name in job.departments else "house"
    return job.model_copy(update={group: getattr(job, group) | {name: load}})


def _in_setup(job: Job, setup: str, changes: Callable[[Setup], dict[str, Any]]) -> Job:
    setups = tuple(
        each.model_copy(update=changes(each)) if each.id == setup else each for each in job.setups
    )
    return job.model_copy(update={"setups": setups})
