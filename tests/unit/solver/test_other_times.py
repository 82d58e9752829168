"""Offers at another time: a load in another set-up, two set-ups in each other's place."""

import pytest

from builders import Entry, amps, circuit, job_of, small_data
from spreadload.changes import ChangeKind, run_in, swap_setups
from spreadload.check import judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.references import find_faults
from spreadload.practice import plug_ids, region_ids
from spreadload.solver.limits import SolverConfig
from spreadload.solver.offers import Offer, find_offers

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
    assert swap_setups(job_of(data), "MORN", "DUSK") is None


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
