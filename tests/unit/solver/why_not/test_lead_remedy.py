"""Where no lead on the van does, the size that would is told, and two that would joined."""

import pytest

from builders import Entry, amps, job_of, outlet, plan_of, put, setup, small_data, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.kit import PowerBoard
from spreadload.plan import Impossible
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.search.ranked_plans import find_plans
from spreadload.solver.why_not.impossible import conflicts_of
from spreadload.solver.why_not.lead_remedy import lead_remedy

# 1.3 x 30 + 2 m along the walls (the project's route rule), less a cord of 3 m: 38 m of lead.
NEED_M = 38
HOT = 1.157  # copper from 20 to 60 °C with 0.00393 per kelvin (IEC 60028)


def far_away(leads: list[Entry], current_a: float = 6.0, region: str = "AU") -> Facts:
    """Return a lamp that stands 30 m from the only outlet."""
    data = small_data(
        region=region,
        rooms={"lounge": {"use": "living", "at": [0.0, 0.0]}, "bed": {"use": "bedroom"}},
        places={"far": {"room": "lounge", "at": [30.0, 0.0]}},
        outlets={"O1": outlet("P1", "lounge", at=[0.0, 0.0])},
        heads={"lamp": amps(current_a, cord_m=3.0)},
        setups=[setup(lamp="far")],
        leads=leads,
    )
    return Facts.of(job_of(data))


def test_the_size_that_would_do_is_told() -> None:
    """2.5 mm² loses 4.2 V of 6.9 (3 % of 230 V; class 5, IEC 60228); 1 mm² would lose 10.3 V."""
    facts = far_away([{"length_m": 10.0, "size_mm2": 1.5, "count": 2}])
    said = lead_remedy(facts, "SU1")
    assert f"from O1 it takes {NEED_M} m of lead of 2.5 mm² or thicker for 6.0 A" in said
    assert 13.3 * 2 * NEED_M / 1000 * HOT * 6.0 > 6.9
    lost_v = 7.98 * 2 * NEED_M / 1000 * HOT * 6.0
    assert lost_v == pytest.approx(4.21, abs=0.01)  # rounded up, as every demand is
    assert "loses 4.3 of the 6.9 V allowed" in said
    assert "joined" not in said


def test_two_leads_that_would_do_joined_are_told_with_a_caution() -> None:
    """Two of 20 m reach where one does not; three are never told."""
    two = far_away([{"length_m": 20.0, "size_mm2": 2.5, "count": 2}])
    said = lead_remedy(two, "SU1")
    assert "20 m 2.5 mm² and 20 m 2.5 mm² joined would reach" in said
    assert "one join at most" in said
    for leads in (
        [{"length_m": 20.0, "size_mm2": 2.5, "count": 1}],
        [{"length_m": 15.0, "size_mm2": 2.5, "count": 3}],
        [{"length_m": 20.0, "size_mm2": 1.0, "count": 2}],
        [{"length_m": 20.0, "size_mm2": 2.5, "count": 2, "wound": True}],
    ):
        assert "joined" not in lead_remedy(far_away(leads), "SU1")


def test_a_job_in_feet_is_told_in_feet_and_gauges() -> None:
    """38 m is 125 ft; 6 A over it want 10 AWG for 3 % of 120 V (NEC chapter 9 table 8, hot)."""
    facts = far_away([{"length_ft": 25.0, "size_awg": 14, "count": 2}], region="US")
    said = lead_remedy(facts, "SU1")
    assert "125 ft of lead of " in said
    assert "AWG or thicker" in said


def test_a_head_that_is_reached_needs_no_other_lead() -> None:
    """Nothing is told where a lead on the van does."""
    assert lead_remedy(far_away([{"length_m": 40.0, "size_mm2": 2.5}]), "SU1") == ""


def test_it_stands_in_the_way_out_of_the_answer() -> None:
    """The proof that it cannot run says what lead would help."""
    facts = far_away([{"length_m": 10.0, "size_mm2": 1.5, "count": 2}])
    found = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=10.0))
    assert isinstance(found, Impossible)
    (conflict,) = found.conflicts
    assert "2.5 mm² or thicker" in conflict.remedy


def test_what_is_ruled_out_is_one_lead_to_a_head() -> None:
    """A lead, a power board and a lead behind it would hold: what is said to be proved is less."""
    facts = far_away([{"length_m": 20.0, "size_mm2": 2.5, "count": 2}])
    boarded = Facts.of(facts.job.model_copy(update={"power_boards": (PowerBoard(),)}))
    outcome = find_plans(boarded, Judge(boarded), SolverConfig(time_limit_s=5))
    assert isinstance(outcome, Impossible)
    assert "only the leads on the van, one to a head: 2 x 20 m 2.5 mm²" in outcome.reason
    both = put("lamp", "O1", place="far", board=0, board_lead=0, lead=0)
    assert Judge(boarded).judge(plan_of(both)).holds


@pytest.mark.parametrize(
    ("listed", "is_told"),
    [
        ({}, True),
        ({"leads": []}, False),
        ({"leads": [{"length_m": 20.0, "size_mm2": 1.0}]}, False),
    ],
)
def test_leads_that_nobody_listed_are_asked_for(listed: Entry, *, is_told: bool) -> None:
    """Over 15 m at 9.9 A the thin leads that are assumed lose too much; those on the van may do.

    An empty list is a list: there are none.

    20 m of 1 mm² (19.5 Ω a km, IEC 60228) hot: 0.90 Ω and 8.9 V of the 6.9 V allowed.
    """
    data = far_away([], current_a=9.9).job.model_dump(mode="json", exclude_unset=True)
    data["places"]["far"]["at"] = [12.0, 0.0]
    del data["leads"]
    facts = Facts.of(job_of(data | listed))
    found = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=10.0))
    assert isinstance(found, Impossible)
    assert ("list the leads on the van" in found.conflicts[0].remedy) is is_told


def test_a_drum_that_stays_wound_is_told_from_the_same_lead_run_out() -> None:
    """Three layers carry 0.45 of 10 A (BS 7671 table 4F1A): 6 A go out on the other lead alone."""
    drum = {"length_m": 25.0, "size_mm2": 1.5, "wound": True, "layers": 3}
    flat = {"length_m": 25.0, "size_mm2": 1.5}
    job = small_job(
        rooms={"lounge": {}, "bed": {}},
        outlets={
            "O1": outlet("P1", "lounge", at=(0.0, 0.0)),
            "O2": outlet("P2", "lounge", at=(0.0, 1.0)),
        },
        places={"far": {"room": "lounge", "at": (14.0, 0.0)}},
        heads={"lamp": amps(6.0, count=2, cord_m=3.0)},
        setups=[setup(lamp={"far": 2})],
        leads=[drum, flat],
    )
    found = conflicts_of(Facts.of(job), SolverConfig(), 10.0)[0]
    assert "1 x 25 m 1.5 mm² wound (4.5 A), 1 x 25 m 1.5 mm²" in found.headline
    assert found.remedy.endswith("or the drums run out, which carry less while wound")
