"""Offers at another time: a load in another set-up, set-ups in each other's place."""

from itertools import permutations
from random import Random

import pytest

from builders import Entry, amps, circuit, job_of, small_data
from spreadload.changes import ChangeKind, reordered, run_in
from spreadload.check import judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.references import find_faults
from spreadload.practice import plug_ids, region_ids
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.what_if.offers import Offer, find_offers
from spreadload.solver.what_if.other_times import _by_exchanges, _exchanges
from spreadload.solver.what_if.other_times import _leave as leave_in

QUICK = SolverConfig(time_limit_s=20.0)


def two_setups(late: Entry, **more: object) -> Job:
    """Return a flat of two 10 A circuits with a small set-up in the morning and one at dusk."""
    data = small_data(
        heads={"lamp": amps(9.0, count=2), "spot": amps(2.0)},
        setups=[
            {"id": "MORN", "from": "9:00", "to": "11:00", "heads": {"spot": "lounge"}},
            {"id": "DUSK", "from": "17:00", "to": "20:00", "heads": {"lamp": {"lounge": 2}}} | late,
        ],
    )
    return job_of(data | more)


def with_iron(*may_move_to: str) -> Job:
    """Return the flat with an iron at dusk that has leave to run at other times."""
    iron = {"kind": "heater", "measured_a": 7.0, "leakage_ma": 0.0, "intermittent": True}
    return two_setups(
        {"on": ["iron"]}, departments={"iron": iron | {"may_move_to": list(may_move_to)}}
    )


def with_hot_water(*may_swap_with: str) -> Job:
    """Return the flat with hot water from 17:30 to 18:30 on the supply of 20 A."""
    water = {
        "kind": "heater", "measured_a": 8.0, "leakage_ma": 0.0, "circuit": "HW",
        "starts_by_itself": True, "starts_from": "17:30", "starts_to": "18:30",
        "policy": None,
    }  # fmt: skip
    return two_setups(
        {"may_swap_with": list(may_swap_with)},
        supply={"limit_a": 20.0, "planning_v": 230.0},
        circuits={"P1": circuit(10.0), "P2": circuit(10.0), "HW": circuit(16.0, feeds="water")},
        house={"water": water},
    )


def of_kind(job: Job, kind: ChangeKind) -> list[Offer]:
    """Return the offers that have a change of a kind."""
    found = find_offers(job, QUICK)
    assert found.in_trouble == ("DUSK",)
    return [offer for offer in found.offers if kind in {c.kind for c in offer.changes}]


def test_a_load_with_leave_runs_in_another_setup() -> None:
    """The iron that is too much at dusk is done in the morning; the judge passes the day."""
    (offer,) = of_kind(with_iron("MORN"), ChangeKind.TIME)
    assert offer.changes[0].words == "iron in MORN instead of DUSK"
    assert judge(offer.job, offer.plan).holds
    on = {p.setup for p in offer.plan.placements if p.load == "iron"}
    assert on == {"MORN"}
    assert offer.cost.minutes == offer.job.costs.retime_min


def test_it_is_the_cheapest_where_its_price_says_so() -> None:
    """Another time costs less than doing without, so it is offered first."""
    found = find_offers(with_iron("MORN"), QUICK)
    assert [c.kind for c in found.offers[0].changes] == [ChangeKind.TIME]
    assert found.offers[0].is_proven
    assert all(found.offers[0].cost.price <= other.cost.price for other in found.offers[1:])


def test_without_leave_nothing_is_moved_in_time() -> None:
    """Nobody said the iron may run at another time."""
    assert not of_kind(with_iron(), ChangeKind.TIME)


def test_a_load_is_not_moved_to_where_it_does_not_fit() -> None:
    """In the morning both circuits are as full as at dusk."""
    data = with_iron("MORN").model_dump(mode="json", by_alias=True, exclude_unset=True)
    data["setups"][0]["heads"] = {"lamp": {"lounge": 2}}
    assert not of_kind(job_of(data), ChangeKind.TIME)


def test_setups_with_leave_change_places() -> None:
    """Dusk in the morning is out of the hot water's hours."""
    (offer,) = of_kind(with_hot_water("MORN"), ChangeKind.ORDER)
    assert judge(offer.job, offer.plan).holds
    times = {s.id: (s.from_, s.to) for s in offer.job.setups}
    assert times == {"DUSK": ("09:00", "12:00"), "MORN": ("18:00", "20:00")}
    assert [s.id for s in offer.job.setups] == ["DUSK", "MORN"]


def test_a_new_order_names_numbered_setups_as_such() -> None:
    """Who calls set-ups 1 and 2 is not told "2 first"."""
    data = with_hot_water("1").model_dump(mode="json", by_alias=True, exclude_unset=True)
    for setup, number in zip(data["setups"], "12", strict=True):
        setup["id"] = number
    found = find_offers(job_of(data), QUICK).offers
    (words,) = [c.words for offer in found for c in offer.changes if c.kind is ChangeKind.ORDER]
    assert words == "set-up 2 first, 09:00 to 12:00, and set-up 1 after it, 18:00 to 20:00"


def test_without_leave_the_order_stays() -> None:
    """Nobody said the set-ups may change places."""
    assert not of_kind(with_hot_water(), ChangeKind.ORDER)


def test_the_setup_that_comes_in_must_fit_as_well() -> None:
    """Two set-ups that are both too much with the hot water gain nothing."""
    data = with_hot_water("MORN").model_dump(mode="json", by_alias=True, exclude_unset=True)
    data["setups"][0]["heads"] = {"lamp": {"lounge": 2}}
    assert not of_kind(job_of(data), ChangeKind.ORDER)


def test_setups_of_unlike_length_do_not_run_into_one_between() -> None:
    """With a set-up between them only equal lengths change places."""
    data = with_hot_water("MORN").model_dump(mode="json", by_alias=True, exclude_unset=True)
    noon = {"id": "NOON", "from": "12:00", "to": "13:00", "heads": {"spot": "lounge"}}
    data["setups"].insert(1, noon)
    assert reordered(job_of(data), ["DUSK", "NOON", "MORN"]) is None


def test_a_load_moved_in_time_keeps_its_count() -> None:
    """Two of three irons were on at dusk; two are on in the morning."""
    data = with_iron("MORN").model_dump(mode="json", by_alias=True, exclude_unset=True)
    data["departments"]["iron"]["count"] = 3
    data["setups"][1]["on"] = {"iron": 2}
    moved = run_in(job_of(data), "iron", "MORN", "DUSK")
    counts = {
        s: [d.count for d in asked if d.load == "iron"]
        for s, asked in Facts.of(moved).demands.items()
    }
    assert counts == {"MORN": [2], "DUSK": []}


@pytest.mark.parametrize(
    ("job", "said"),
    [
        (with_iron("MORNING"), "may_move_to"),
        (with_hot_water("MORM"), "may_swap_with"),
        (with_hot_water("DUSK"), "itself"),
    ],
)
def test_leave_for_what_is_not_there_is_a_fault(job: Job, said: str) -> None:
    """A set-up nobody knows, or the same one, is named with the place in the file."""
    findings = find_faults(job, regions=region_ids(), plugs=plug_ids())
    assert any(said in str(finding) for finding in findings)


def three_setups(leave: dict[str, list[str]], **more: object) -> Job:
    """Return a flat where NIGHT and DUSK clash with timers of the house, and NOON with neither.

    Hot water runs from 17:30 to 18:30 and a pump from 21:30 to 22:30, each too much beside the
    lamps; the small set-up runs beside either. The supply gives 20 A.
    """
    heads = {"lamp": {"lounge": 2}}
    small = {"spot": "lounge"}
    data = small_data(
        heads={"lamp": amps(9.0, count=2), "spot": amps(2.0)},
        supply={"limit_a": 20.0, "planning_v": 230.0},
        circuits={
            "P1": circuit(10.0),
            "P2": circuit(10.0),
            "HW": circuit(16.0, feeds="water"),
            "PU": circuit(16.0, feeds="other"),
        },
        house={
            "water": timed("HW", "17:30", "18:30"),
            "pump": timed("PU", "21:30", "22:30"),
        },
        setups=[
            {"id": "MORN", "from": "8:00", "to": "10:00", "heads": small},
            {"id": "NOON", "from": "12:00", "to": "14:00", "heads": small},
            {"id": "DUSK", "from": "17:00", "to": "19:00", "heads": heads},
            {"id": "NIGHT", "from": "21:00", "to": "23:00", "heads": heads},
        ],
    )
    data |= more
    for setup in data["setups"]:
        setup["may_swap_with"] = leave.get(setup["id"], [])
    return job_of(data)


def timed(circuit_id: str, start: str, end: str) -> Entry:
    """Return a load wired in that starts by itself."""
    return {
        "kind": "heater", "measured_a": 8.0, "leakage_ma": 0.0, "circuit": circuit_id,
        "starts_by_itself": True, "starts_from": start, "starts_to": end,
    }  # fmt: skip


def orders_of(job: Job) -> list[Offer]:
    """Return the offers of another order of the day."""
    found = find_offers(job, QUICK)
    return [o for o in found.offers if ChangeKind.ORDER in {c.kind for c in o.changes}]


def test_two_pairs_change_places_at_once() -> None:
    """No single exchange helps: both evening set-ups have to come away from their timers."""
    (offer,) = orders_of(three_setups({"DUSK": ["MORN"], "NIGHT": ["NOON"]}))
    assert [s.id for s in offer.job.setups] == ["DUSK", "NIGHT", "MORN", "NOON"]
    assert judge(offer.job, offer.plan).holds
    assert offer.cost.minutes == 2 * offer.job.costs.reorder_min
    assert offer.changes[0].words == (
        "another order: DUSK 08:00 to 10:00, NIGHT 12:00 to 14:00, MORN 17:00 to 19:00, "
        "NOON 21:00 to 23:00"
    )


def test_a_ring_of_three_is_taken_where_no_pairs_do() -> None:
    """MORN may stand in for both evening set-ups, DUSK for NIGHT's place once the pump is out."""
    job = three_setups(
        {"DUSK": ["MORN"], "NIGHT": ["DUSK", "MORN"]},
        setups=[
            {"id": "MORN", "from": "8:00", "to": "10:00", "heads": {"spot": "lounge"}},
            {"id": "DUSK", "from": "17:00", "to": "19:00", "heads": {"lamp": {"lounge": 2}}},
            {"id": "NIGHT", "from": "21:00", "to": "23:00", "heads": {"arc": {"lounge": 2}}},
        ],
        heads={"lamp": amps(9.0, count=2), "spot": amps(2.0), "arc": amps(6.5, count=2)},
        house={
            "water": timed("HW", "17:30", "18:30") | {"measured_a": 5.0},
            "pump": timed("PU", "21:30", "22:30"),
        },
    )
    # 2 x 6.5 beside the pump's 8 is over 20 A, beside the water's 5 not; 2 x 9 beside neither.
    (offer,) = orders_of(job)
    assert [s.id for s in offer.job.setups] == ["DUSK", "NIGHT", "MORN"]
    assert offer.cost.minutes == 2 * offer.job.costs.reorder_min
    assert judge(offer.job, offer.plan).holds


def test_no_set_up_takes_a_place_it_has_no_leave_for() -> None:
    """MORN and NOON may change with each other only, so neither evening set-up gets away."""
    assert not orders_of(three_setups({"MORN": ["NOON"]}))
    assert not orders_of(three_setups({"DUSK": ["MORN"]}))


@pytest.mark.parametrize("seed", range(30))
def test_the_cheapest_order_is_the_cheapest_of_all_that_are_allowed(seed: int) -> None:
    """Trying every order by hand, with the judge's own windows, finds none with fewer exchanges."""
    random = Random(seed)
    names = [f"S{n}" for n in range(4)]
    leave = {n: [m for m in names if m != n and random.random() < 0.4] for n in names}
    allowed = {(a, b) for a in names for b in leave[a]} | {(b, a) for a in names for b in leave[a]}
    found = list(_by_exchanges(names, _leave_of(names, leave)))
    every = [
        order
        for order in permutations(names)
        if list(order) != names
        and all(a == b or (a, b) in allowed for a, b in zip(names, order, strict=True))
    ]
    assert sorted(found) == sorted(every)
    costs = [_exchanges(names, order) for order in found]
    assert costs == sorted(costs)


def _leave_of(names: list[str], leave: dict[str, list[str]]) -> dict[str, frozenset[str]]:
    setups = [
        {"id": n, "from": f"{8 + 2 * k}:00", "to": f"{9 + 2 * k}:00", "may_swap_with": leave[n]}
        for k, n in enumerate(names)
    ]
    return leave_in(job_of(small_data(setups=[s | {"heads": {}} for s in setups])))
