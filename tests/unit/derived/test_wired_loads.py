"""What the house has wired keeps to the breaker it was wired to, where only a habit says more."""

import pytest

from builders import Entry, amps, circuit, job_of, plan_of, put, setup, small_data
from spreadload.app.planning import plan_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.explain.assumed import assumptions
from spreadload.explain.judged import JudgedPlan
from spreadload.solver.engine.limits import SolverConfig

CHARGER: Entry = {"kind": "electronics", "plate_w": 7200, "circuit": "EV"}


def charged(**stated: object) -> Facts:
    """Return a flat with a car charger on a way of 32 A, on all day."""
    return Facts.of(
        job_of(
            small_data(
                supply={"limit_a": 80.0, "limit_source": "fuse", "planning_v": 230.0},
                circuits={"P1": circuit(10.0), "P2": circuit(10.0), "EV": {"breaker_a": 32.0}},
                house={"car": CHARGER | {"starts_by_itself": True} | stated},
                setups=[setup(lamp="lounge")],
            )
        )
    )


@pytest.mark.parametrize(
    ("stated", "drawn_ma"),
    [
        # 7,200 W at the 0.6 that is assumed of electronics would be 52.2 A; at 1 it is 31.3 A.
        ({}, 32_000),
        ({"power_factor": 0.95}, 32_952),
        ({"measured_a": 40.0}, 40_000),
        # 9,200 W are 40 A at any power factor: the breaker is no excuse.
        ({"plate_w": 9200}, 66_667),
        ({"plate_w": 3000}, 21_740),
    ],
)
def test_an_assumed_power_factor_does_not_overload_its_own_way(
    stated: Entry, drawn_ma: int
) -> None:
    """Sums of watts over volts and power factor (IEC 60050-131); what is stated always counts."""
    assert charged(**stated).loads["car"].unit_ma[1] == pytest.approx(drawn_ma, abs=1)


def test_its_source_says_so() -> None:
    """Nobody takes the figure for one that was read."""
    assert charged().loads["car"].draw.source.endswith("taken to keep to the 32 A of its way")


def test_a_way_with_nothing_of_ours_is_not_refused_under_sag() -> None:
    """A pump of 15.9 A on 16 A draws more as the board sags: the house lived with that before."""
    job = job_of(
        small_data(
            supply={
                "limit_a": 63.0,
                "planning_v": 230.0,
                "readings": [{"at": "board", "idle_v": 230.0, "loaded_v": 225.0, "load_a": 10.0}],
            },
            circuits={"P1": circuit(10.0), "P2": circuit(10.0), "W": {"breaker_a": 16.0}},
            house={"pump": amps(15.9, kind="motor", circuit="W", starts_by_itself=True)},
            setups=[setup(lamp="lounge")],
        )
    )
    judged = Judge(Facts.of(job)).judge(plan_of(put("lamp", "O1", place="lounge")))
    assert not [v for v in judged.violations if v.rule == "circuit under sag"]


def wired(region: str = "UK", *, way: Entry, **load: object) -> tuple[Facts, tuple[str, ...]]:
    """Return a flat with one wired load that is on all day, and the rules that its plan breaks."""
    on: Entry = {"kind": "heater", "circuit": "W", "starts_by_itself": True}
    job = job_of(
        small_data(
            region=region,
            supply={"limit_a": 100.0, "limit_source": "fuse"},
            circuits={"P1": circuit(10.0), "P2": circuit(10.0), "W": {"feeds": "water"} | way},
            house={"wired": on | load},
            setups=[setup(lamp="lounge")],
        )
    )
    facts = Facts.of(job)
    judged = Judge(facts).judge(plan_of(put("lamp", "O1", place="lounge")))
    return facts, tuple(violation.rule for violation in judged.violations)


@pytest.mark.parametrize(
    ("way", "load", "is_held"),
    [
        # 7,400 W / 230 V = 32.17 A and 9,500 W / 230 V = 41.30 A: 1.005 and 1.033 times the
        # rating, below the 1.13 at which a breaker to IEC 60898-1 holds for an hour.
        ({"breaker_a": 32.0}, {"plate_w": 7400}, True),
        ({"breaker_a": 40.0}, {"plate_w": 9500}, True),
        ({"breaker_a": 32.0}, {"kind": "electronics", "plate_w": 7400, "power_factor": 0.95}, True),
        # 8,400 W are 36.5 A, 1.14 times 32 A.
        ({"breaker_a": 32.0}, {"plate_w": 8400}, False),
        # Twice 3.6 kW on one way of 20 A is no rounding: 31.3 A.
        ({"breaker_a": 20.0}, {"plate_w": 3600, "count": 2}, False),
        # Nobody read the breaker: whoever chose it knew what it feeds.
        ({}, {"plate_w": 7400}, True),
        # Wire is replaced by whatever is at hand, so its rating says little: 15.7 A is not held
        # above 15. But 0.7 of 20 A is a habit for what crews plug in, and none of it is here.
        ({"fuse_a": 15.0, "rewireable": True}, {"plate_w": 3600}, False),
        ({"fuse_a": 20.0, "rewireable": True}, {"plate_w": 3600}, True),
    ],
)
def test_a_way_holds_what_it_was_made_for(way: Entry, load: Entry, *, is_held: bool) -> None:
    """A charger or shower a little above its breaker refuses no plan: nothing of ours is on it."""
    assert (wired(way=way, **load)[1] == ()) is is_held


def test_a_way_with_outlets_on_it_holds_no_more_than_its_breaker() -> None:
    """There a plug of ours would make it worse."""
    broken = wired(way={"breaker_a": 32.0, "feeds": "outlets"}, plate_w=7400)[1]
    assert broken == ("circuit",)


def test_breakers_to_another_standard_hold_their_rating() -> None:
    """To UL 489 nothing says that 1.13 times the rating holds: 2,460 W are 20.5 A at 120 V."""
    assert wired("US", way={"breaker_a": 20.0}, plate_w=2460, intermittent=True)[1] == ("circuit",)


@pytest.mark.parametrize(("way", "breaks"), [({}, ()), ({"sub_board": "SUB"}, ("circuit",))])
def test_what_the_house_wired_is_not_sized_again(way: Entry, breaks: tuple[str, ...]) -> None:
    """A condenser of 17 A on its own 20 A way: 1.25 times that is 21.3 A, but nothing is installed.

    Behind the feed of a sub-board, where ours is added to it, it counts as long as ever.

    Source: NEC 210.20(A) is about the rating that a device is chosen by; UL 489: it holds 100 %.
    """
    job = job_of(
        small_data(
            region="US",
            supply={"limit_a": 100.0, "limit_source": "main breaker"},
            sub_boards={"SUB": {"feed_a": 60}},
            circuits={"P1": circuit(15.0, phase="A"), "P2": circuit(15.0, phase="B")}
            | {"AC": {"feeds": "air", "breaker_a": 20.0, "phase": ["A", "B"]} | way},
            house={"condenser": amps(17.0, circuit="AC", policy="must stay on")},
            setups=[setup(lamp="lounge")],
        )
    )
    judged = Judge(Facts.of(job)).judge(plan_of(put("lamp", "O1", place="lounge")))
    assert tuple(dict.fromkeys(v.rule for v in judged.violations)) == breaks


def test_what_it_is_taken_to_hold_is_told() -> None:
    """Shown as full, never as more than full, and said to be more than was read."""
    facts, _ = wired(way={"breaker_a": 32.0}, plate_w=7400)
    plan = plan_of(put("lamp", "O1", place="lounge"))
    judged = JudgedPlan.of(facts, Judge(facts), plan)
    (usage,) = [u for u in judged.verdict.usages if u.id == "W"]
    assert usage.used_pct == 100
    said = [each.text for each in assumptions(judged) if each.about == "board"]
    assert said == ["W holds 32.2 A: 32.0 A breaker, which holds up to 1.13 times its rating"]


@pytest.mark.parametrize("water_w", [0.0, 3600.0])
def test_hot_water_does_not_hide_how_the_rest_is_spread(water_w: float) -> None:
    """Four heads of 4.9 A on two ways of 20 A: two and two, with a third way at 98 % or without.

    Near them are two plates on P1 and none on P2, so that only how full they are parts them.
    """
    water = {"kind": "heater", "plate_w": water_w, "circuit": "HW", "starts_by_itself": True}
    job = job_of(
        small_data(
            circuits={"P1": circuit(20.0), "P2": circuit(20.0), "HW": {"breaker_a": 16.0}},
            rooms={},
            outlets={
                name: {"circuit": way, "known": "tested", "at": [at, 0.0], "sockets": 2}
                for name, way, at in (("A", "P1", 0.0), ("B", "P1", 3.0), ("C", "P2", 9.0))
            },
            places={"spot": {"at": [1.0, 1.0]}},
            heads={"key": amps(4.9, count=4, kind="led")},
            house={"water": water} if water_w else {},
            setups=[setup(key={"spot": 4})],
        )
    )
    told = plan_job(job, SolverConfig(time_limit_s=10.0))
    assert told.plan is not None
    on_p1 = [p for p in told.plan.placements if p.point in ("A", "B")]
    assert len(on_p1) == 2
    assert told.answer.tightest is not None
    assert told.answer.tightest.id != "HW"
    goals = {goal.goal: goal.value for goal in Judge(Facts.of(job)).judge(told.plan).goals}
    # By hand: 9.8 of 20 A are 49 %; with 15.7 A of water 35.3 of 63 A are 56 %.
    assert goals["tightest"] == (56 if water_w else 49)
