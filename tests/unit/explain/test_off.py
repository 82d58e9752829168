"""What must be off: one more unit, judged as it would be, with the number it would reach."""

import pytest

from builders import amps, circuits, outlet, plan_of, put, setup, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.off import Idle, idle_loads, must_be_off, must_stay_on
from spreadload.job.job import Job
from spreadload.plan import Plan, SwitchedOff

LAMP_AT_O1 = plan_of(put("lamp", "O1", place="lounge"))


def idle(job: Job, plan: Plan = LAMP_AT_O1) -> dict[tuple[str, str], Idle]:
    """Return idle loads by set-up and load."""
    facts = Facts.of(job)
    return {(i.setup, i.load): i for i in idle_loads(JudgedPlan.of(facts, Judge(facts), plan))}


def test_a_kettle_that_would_overload_its_circuit_must_be_off() -> None:
    """4 A of light and 9 A of kettle on 10 A is 130 %."""
    job = small_job(departments={"kettle": amps(9.0, by="catering", outlet="O1")})
    kettle = idle(job)["SU1", "kettle"]
    assert kettle.must_be_off
    assert kettle.breaks == "P1 “PLUGS” would carry 13.0 A of 10.0 A"
    assert (kettle.over_pct, kettle.by) == (130, "catering")


def test_a_kettle_that_fits_may_run_where_it_fits() -> None:
    """Free to go anywhere it may run at O2 and not at O1."""
    kettle = idle(small_job(departments={"kettle": amps(9.0)}))["SU1", "kettle"]
    assert not kettle.must_be_off
    assert (kettle.holds_at, kettle.tried) == (("O2",), 2)


def test_amps_count_even_where_every_socket_is_taken() -> None:
    """Somebody will find a socket: the overload is what is told, not the missing socket."""
    job = small_job(
        outlets={"O1": outlet("P1", "lounge", sockets=1), "O2": outlet("P2", "bed")},
        departments={"kettle": amps(9.0, outlet="O1")},
    )
    assert idle(job)["SU1", "kettle"].over_pct == 130


def test_a_taken_socket_alone_is_no_reason_to_be_off() -> None:
    """What fits by its amps may run, though somebody has to free a socket."""
    job = small_job(
        outlets={"O1": outlet("P1", "lounge", sockets=1), "O2": outlet("P2", "bed")},
        departments={"radio": amps(1.0, outlet="O1")},
    )
    radio = idle(job)["SU1", "radio"]
    assert not radio.must_be_off
    assert (radio.holds_at, radio.freed_at) == ((), ("O1",))
    assert radio.may_run_at == "at O1, once a socket is free there"


def test_where_a_socket_is_free_no_other_is_offered() -> None:
    """The lamp has the only socket of O1; O2 has two."""
    job = small_job(
        outlets={"O1": outlet("P1", "lounge", sockets=1), "O2": outlet("P2", "bed")},
        departments={"radio": amps(1.0)},
    )
    assert idle(job)["SU1", "radio"].may_run_at == "at O2 only"


def test_where_a_socket_has_to_be_freed_the_lead_to_it_is_counted_in() -> None:
    """By its amps the fan in the bedroom may run on O1, which takes a lead as well as a socket."""
    job = small_job(
        outlets={"O1": outlet("P1", "lounge", sockets=1)},
        departments={"fan": amps(1.0, place="bed")},
    )
    assert idle(job)["SU1", "fan"].may_run_at == "at O1, once a socket is free there"


def test_a_hard_wired_load_is_tried_on_its_circuit() -> None:
    """13 A of cylinder on top of a loaded 16 A supply breaks the supply."""
    job = small_job(
        supply={"limit_a": 16.0, "limit_source": "fuse", "planning_v": 230.0},
        circuits=circuits(P1=10.0, P2=10.0) | {"HW": {"breaker_a": 20.0, "feeds": "water"}},
        house={"cylinder": amps(13.0, circuit="HW")},
    )
    cylinder = idle(job)["SU1", "cylinder"]
    assert cylinder.breaks == "the supply would carry 17.0 A of 16.0 A"
    assert cylinder.tried == 0


def test_a_load_agreed_off_is_listed_even_where_it_would_fit() -> None:
    """What was agreed is not up to the arithmetic."""
    job = small_job(house={"pump": amps(1.0, outlet="O2", policy="must be off")})
    pump = idle(job)["SU1", "pump"]
    assert pump.must_be_off
    assert pump.is_agreed
    assert pump.breaks == ""


def test_a_load_switched_off_by_the_plan_is_listed_with_what_it_would_break() -> None:
    """The plan had a reason to switch it off, and the number shows it."""
    job = small_job(
        departments={"kettle": amps(9.0, outlet="O1", policy="may be off")},
        setups=[setup(lamp="lounge", on=["kettle"])],
    )
    plan = LAMP_AT_O1.model_copy(
        update={"switched_off": (SwitchedOff(setup="SU1", load="kettle"),)}
    )
    kettle = idle(job, plan)["SU1", "kettle"]
    assert kettle.is_switched_off
    assert kettle.over_pct == 130


def test_a_load_that_runs_already_is_not_idle() -> None:
    """The kettle is on, so nothing is said of one more."""
    job = small_job(
        departments={"kettle": amps(2.0, outlet="O2")},
        setups=[setup(lamp="lounge", on=["kettle"])],
    )
    assert idle(job, plan_of(put("lamp", "O1", place="lounge"), put("kettle", "O2"))) == {}


def test_one_more_of_several_is_tried() -> None:
    """Of two urns one runs; the second would be 12 A on 10 A."""
    job = small_job(
        departments={"urn": amps(6.0, outlet="O2", count=2)},
        setups=[setup(lamp="lounge", on={"urn": 1})],
    )
    urn = idle(job, plan_of(put("lamp", "O1", place="lounge"), put("urn", "O2")))["SU1", "urn"]
    assert urn.over_pct == 120


def test_public_functions_agree_with_the_parts() -> None:
    """must_be_off keeps only what must be off; must_stay_on lists what was agreed."""
    job = small_job(
        departments={"kettle": amps(9.0, outlet="O1"), "charger": amps(1.0, outlet="O2")},
        house={"fridge": amps(1.0, outlet="O2", policy="must stay on")},
    )
    facts = Facts.of(job)
    plan = plan_of(put("lamp", "O1", place="lounge"), put("fridge", "O2"))
    assert [i.load for i in must_be_off(facts, Judge(facts), plan)] == ["kettle"]
    assert must_stay_on(facts) == ("fridge",)


@pytest.mark.parametrize(
    ("stated", "is_listed"),
    [
        ({"starts_from": "22:00", "starts_to": "6:00"}, False),
        ({"starts_from": "22:00", "starts_to": "9:00"}, False),  # it is on, and no longer idle
        ({"starts_by_itself": False}, True),
        ({"policy": "must be off"}, True),
    ],
)
def test_what_draws_nothing_at_that_hour_need_not_be_kept_off(
    stated: dict[str, object], *, is_listed: bool
) -> None:
    """A cylinder on a night tariff is nobody's business at nine in the morning."""
    morning = setup(lamp="lounge") | {"from": "8:00", "to": "11:00"}
    job = small_job(
        supply={"limit_a": 16.0, "limit_source": "fuse", "planning_v": 230.0},
        circuits=circuits(P1=10.0, P2=10.0) | {"HW": {"breaker_a": 20.0, "feeds": "water"}},
        house={"cylinder": amps(13.0, circuit="HW", starts_by_itself=True) | stated},
        setups=[morning],
    )
    assert (("SU1", "cylinder") in idle(job)) is is_listed


def test_what_runs_on_into_the_next_set_up_counts_as_continuous_there() -> None:
    """Two hours of a 13 A heater are none, four are: beside 4 A in SU2 that is 20.3 A of 20 A.

    Source: NEC article 100 and 210.20(A), three hours or more at 125 %.
    """
    job = small_job(
        region="US",
        supply={"limit_a": 100.0, "limit_source": "stated for the test", "planning_v": 120.0},
        circuits=circuits(P2=20.0),
        outlets={"O2": outlet("P2", "bed"), "O3": outlet("P2", "lounge")},
        departments={"heater": amps(13.0, outlet="O2")},
        setups=[
            setup("SU1") | {"from": "09:00", "to": "11:00"},
            setup("SU2", on=["heater"], lamp="lounge") | {"from": "11:00", "to": "13:00"},
        ],
    )
    plan = plan_of(put("lamp", "O3", place="lounge", name="SU2"), put("heater", "O2", name="SU2"))
    heater = idle(job, plan)["SU1", "heater"]
    assert heater.breaks == "P2 “PLUGS” would carry 20.3 A of 20.0 A"
