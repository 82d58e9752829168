"""Light that stays, what moves, what is pulled, what is assumed, and how plans differ."""

import pytest

from builders import amps, circuit, circuits, outlet, plan_of, put, setup, small_job
from spreadload import check_plan
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.explain.assumed import assumptions
from spreadload.explain.briefing import brief
from spreadload.explain.day_moves import Carried, day_changes, pull_list
from spreadload.explain.differences import differences
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.light import staying
from spreadload.explain.names import units_name
from spreadload.job.job import Job
from spreadload.plan import Plan
from spreadload.words import row


def judged_plan(job: Job, plan: Plan) -> JudgedPlan:
    """Return a plan judged."""
    facts = Facts.of(job)
    return JudgedPlan.of(facts, Judge(facts), plan)


TWO_LAMPS = {"heads": {"lamp": amps(4.0, count=2)}, "setups": [setup(lamp={"lounge": 2})]}
APART = plan_of(put("lamp", "O1", place="lounge"), put("lamp", "O2", unit=2, place="lounge"))


def test_light_on_the_other_circuit_stays() -> None:
    """If P1 drops the lamp on P2 stays; an RCD over both leaves none."""
    job = small_job(
        circuits={n: circuit(10.0, rcd="R1") for n in ("P1", "P2")}, rcds={"R1": {}}, **TWO_LAMPS
    )
    found = {entry.device: entry for entry in staying(judged_plan(job, APART))}
    assert [p.point for p in found["P1"].lit] == ["O2"]
    assert [p.point for p in found["P2"].lit] == ["O1"]
    assert found["R1"].lit == ()


def test_a_lamp_that_might_be_on_a_circuit_is_not_sure_to_stay() -> None:
    """An outlet of unknown circuit is counted dark for either."""
    job = small_job(
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet(None, "bed", maybe_on=["P1", "P2"])},
        **TWO_LAMPS,
    )
    found = {entry.device: entry for entry in staying(judged_plan(job, APART))}
    assert found["P1"].lit == ()
    assert [p.point for p in found["P2"].lit] == ["O1"]


def test_only_what_changes_outlet_moves() -> None:
    """The lamp that stays is not told; the one that goes to O2 is, with its cool-down."""
    job = small_job(
        circuits=circuits(P1=20.0, P2=20.0),
        heads={"lamp": amps(4.0, count=2, kind="discharge", cool_down_min=10)},
        setups=[setup(lamp={"lounge": 2}), setup("SU2", lamp={"lounge": 2})],
    )
    plan = plan_of(
        put("lamp", "O1", place="lounge"),
        put("lamp", "O1", unit=2, socket=2, place="lounge"),
        put("lamp", "O2", name="SU2", place="lounge"),
        put("lamp", "O1", name="SU2", unit=2, place="lounge"),
    )
    (change,) = day_changes(judged_plan(job, plan))
    (replug,) = change.replugs
    assert (replug.from_point, replug.to_point, replug.cool_down_min) == ("O1", "O2", 10)
    assert change.struck == ()
    assert change.added == ()


def test_a_move_is_told_of_the_head_the_tables_name() -> None:
    """Heads whose outlets sort the other way round each go where the table of SU2 has them."""
    names = ("A1", "B1", "C1", "D1")
    job = small_job(
        circuits={n: circuit(10.0) for n in ("P1", "P2")},
        outlets={n: outlet("P1" if n < "C" else "P2", "lounge") for n in names},
        heads={"lamp": amps(2.0, count=3)},
        setups=[setup(lamp={"lounge": 2}), setup("SU2", lamp={"lounge": 3})],
    )
    plan = plan_of(
        put("lamp", "A1", unit=1, place="lounge"),
        put("lamp", "B1", unit=2, place="lounge"),
        put("lamp", "D1", name="SU2", unit=1, place="lounge"),
        put("lamp", "C1", name="SU2", unit=2, place="lounge"),
        put("lamp", "B1", name="SU2", unit=3, place="lounge"),
    )
    (change,) = day_changes(judged_plan(job, plan))
    told = [(r.unit, r.from_point, r.to_point) for r in change.replugs]
    assert told == [(1, "A1", "D1")]
    assert [p.unit for p in change.added] == [2]
    (back,) = day_changes(judged_plan(job, _turned_round(plan)))
    assert [(r.unit, r.from_point, r.to_point) for r in back.replugs] == [(1, "D1", "A1")]
    assert [(p.unit, p.point) for p in back.struck] == [(2, "C1")]


def test_of_two_on_one_plate_the_one_that_keeps_its_number_stays() -> None:
    """Two lamps share O1 and only the second is lit next: the first is what comes off."""
    job = small_job(
        circuits=circuits(P1=20.0, P2=20.0),
        heads={"lamp": amps(2.0, count=2)},
        setups=[setup(lamp={"lounge": 2}), setup("SU2", lamp="lounge")],
    )
    plan = plan_of(
        put("lamp", "O1", unit=1, place="lounge"),
        put("lamp", "O1", unit=2, socket=2, place="lounge"),
        put("lamp", "O1", name="SU2", unit=2, socket=2, place="lounge"),
    )
    (change,) = day_changes(judged_plan(job, plan))
    assert (change.replugs, [p.unit for p in change.struck]) == ((), [1])
    assert "SU1 to SU2: nothing moves; unplug 1\n" in check_plan(job, plan).text()


def _turned_round(plan: Plan) -> Plan:
    """Return the plan with its two set-ups exchanged."""
    other = {"SU1": "SU2", "SU2": "SU1"}
    turned = (p.model_copy(update={"setup": other[p.setup]}) for p in plan.placements)
    return plan.model_copy(update={"placements": tuple(turned)})


def test_a_head_that_keeps_its_plug_but_not_its_place_is_carried() -> None:
    """Two of three lamps on O1 go from lounge to bed on the same sockets: no plug moves.

    Common practice, no source: a head that is carried has its lead laid anew.
    """
    job = small_job(
        circuits=circuits(P1=20.0, P2=20.0),
        outlets={"O1": outlet("P1", "lounge", sockets=3), "O2": outlet("P2", "bed")},
        heads={"lamp": amps(3.0, count=3)},
        setups=[setup(lamp={"lounge": 3}), setup("SU2", lamp={"lounge": 1, "bed": 2})],
    )
    plan = plan_of(
        *(put("lamp", "O1", unit=n, socket=n, place="lounge") for n in (1, 2, 3)),
        put("lamp", "O1", name="SU2", unit=1, socket=1, place="lounge"),
        *(put("lamp", "O1", name="SU2", unit=n, socket=n, place="bed") for n in (2, 3)),
    )
    (change,) = day_changes(judged_plan(job, plan))
    assert change.carried == (Carried("lamp", 2, "O1", "lounge", "bed"),)
    assert (len(change.replugs), len(change.struck), len(change.added)) == (0, 0, 0)
    text = check_plan(job, plan).text()
    assert "SU1 to SU2: no plug moves; carry 2 lamp lounge → bed (all still on O1)" in text


def test_pull_list_is_the_most_any_set_up_needs() -> None:
    """Two leads in SU1 and one in SU2 make two to pull."""
    job = small_job(
        leads=[{"length_m": 10.0, "size_mm2": 1.5, "count": 4}],
        heads={"lamp": amps(4.0, count=2)},
        setups=[setup(lamp={"lounge": 2}), setup("SU2", lamp="lounge")],
    )
    plan = plan_of(
        put("lamp", "O1", place="lounge", lead=0),
        put("lamp", "O2", unit=2, place="lounge", lead=0),
        put("lamp", "O1", name="SU2", place="lounge", lead=0),
    )
    (pull,) = pull_list(judged_plan(job, plan))
    assert (pull.name, pull.needed, pull.in_stock) == ("10 m 1.5 mm²", 2, 4)


def test_everything_guessed_and_used_is_told() -> None:
    """Supply, wiring, amps, leakage, plug and lead size are each listed when nobody stated them."""
    job = small_job(
        supply={},
        outlets={"O1": outlet(None, "lounge"), "O2": outlet("P2", "bed", known="guessed")},
        heads={"lamp": {"kind": "led", "class_w": 600.0, "cord_m": 50.0, "count": 2}},
        leads=[{"length_m": 10.0, "count": 4}],
        setups=[setup(lamp={"lounge": 2})],
    )
    plan = plan_of(
        put("lamp", "O1", place="lounge", lead=0), put("lamp", "O2", unit=2, place="lounge")
    )
    said = {(a.about, a.touches) for a in assumptions(judged_plan(job, plan))}
    assert ("supply", ()) in said
    assert ("wiring", ("O1",)) in said
    assert ("wiring", ("O2",)) in said
    assert {about for about, _ in said} >= {"amps", "leakage", "plug", "lead"}


READ = {
    "limit_a": 63.0,
    "limit_source": "stated for the test",
    "planning_v": 230.0,
    "readings": [{"at": "board", "idle_v": 240.0, "loaded_v": 236.0, "load_a": 10.0}],
}


def test_an_outlet_that_may_be_on_what_is_off_limits_is_told() -> None:
    """O2 may be on the server's circuit, which the owner keeps; of the other two either will do.

    Common practice, no source: a crew asks before it plugs into what may be somebody else's.
    """
    ways = {"P1": circuit(10.0), "P2": circuit(10.0), "SRV": circuit(10.0, use="off limits")}
    for maybe, ending in (
        (["P2", "SRV"], "; SRV not to be used: find out before anything goes in"),
        (["P1", "P2"], "counted on each"),
    ):
        job = small_job(
            circuits=ways,
            outlets={"O1": outlet("P1", "bed"), "O2": {"room": "lounge", "maybe_on": maybe}},
        )
        said = assumptions(judged_plan(job, plan_of(put("lamp", "O2", place="lounge"))))
        (wiring,) = [each.text for each in said if each.about == "wiring"]
        assert wiring.endswith(ending)


def test_nothing_unproven_means_nothing_told() -> None:
    """A job that states everything, its volts too, rests on nothing."""
    job = small_job(heads={"lamp": amps(4.0, plug="au-10")}, supply=READ)
    assert assumptions(judged_plan(job, plan_of(put("lamp", "O1", place="lounge")))) == ()


def test_a_place_without_a_count_is_told_to_mean_one() -> None:
    """Two lamps are on the list and one is lit: whoever meant both must see it."""
    both = small_job(
        heads={"lamp": amps(4.0, plug="au-10", count=2)},
        setups=[setup(lamp="lounge")],
        supply=READ,
    )
    (said,) = assumptions(judged_plan(both, plan_of(put("lamp", "O1", place="lounge"))))
    assert (said.about, said.touches) == ("list", ("lamp",))
    assert said.text.startswith("one lamp of 2 at lounge in SU1")
    assert "{lounge: 2}" in said.text


def test_outlets_the_plan_does_not_use_are_no_assumption() -> None:
    """O2 is unknown, but nothing is plugged in there."""
    job = small_job(
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet(None, "bed")},
        heads={"lamp": amps(4.0, plug="au-10")},
        supply=READ,
    )
    assert assumptions(judged_plan(job, plan_of(put("lamp", "O1", place="lounge")))) == ()


def test_plans_differ_only_where_other_circuits_feed() -> None:
    """Swapping identical lamps is no difference; moving one to the other circuit is."""
    facts = Facts.of(small_job(**TWO_LAMPS))
    swapped = plan_of(put("lamp", "O2", place="lounge"), put("lamp", "O1", unit=2, place="lounge"))
    together = plan_of(
        put("lamp", "O1", place="lounge"), put("lamp", "O1", unit=2, socket=2, place="lounge")
    )
    assert differences(facts, APART, swapped) == ()
    (difference,) = differences(facts, APART, together)
    assert difference.text == "SU1: lamp at lounge on O1 (P1) instead of O2 (P2)"


def test_cautions_come_with_every_plan() -> None:
    """The first caution is that this is a planning aid and no electrician."""
    facts = Facts.of(small_job())
    said = brief(facts, Judge(facts), plan_of(put("lamp", "O1", place="lounge"))).cautions
    assert "licensed electrician" in said[0]


def test_names_are_short_and_unambiguous() -> None:
    """Runs of numbers are joined, a sole unit needs none, and lists read as English."""
    facts = Facts.of(small_job(heads={"lamp": amps(1.0, count=5), "key": amps(1.0)}))
    assert units_name(facts, "lamp", [3, 1, 2]) == "lamp #1-3"
    assert units_name(facts, "lamp", [1, 4]) == "lamp #1 #4"
    assert units_name(facts, "lamp", [2]) == "lamp #2"
    assert units_name(facts, "key", [1]) == "key"
    assert row(["a", "b", "c"]) == "a, b and c"


@pytest.mark.parametrize(("stated", "count"), [({}, 1), ({"limit_source": "pole fuse"}, 0)])
def test_a_main_limit_of_unknown_origin_is_not_proved(stated: dict[str, str], count: int) -> None:
    """A bare figure may be the handle of an isolator, which limits nothing (common practice)."""
    job = small_job(supply={"limit_a": 63.0, "planning_v": 230.0, **stated})
    plan = plan_of(put("lamp", "O1", place="lounge"))
    told = [a.text for a in assumptions(judged_plan(job, plan))]
    assert sum("main limit 63.0 A: stated, not said from where" in text for text in told) == count
