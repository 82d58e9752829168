"""The first line is the answer, everything fits 80 columns, and the numbers are the judge's."""

from pathlib import Path

import pytest

from builders import amps, circuit, circuits, outlet, plan_of, put, setup, small_job
from spreadload.app.planning import PlanTold, SolverConfig, Style, check_plan, plan_job
from spreadload.app.what_if import offers_of
from spreadload.errors import ExitCode
from spreadload.io.job_file import load_job
from spreadload.plan import Impossible, Undecided

JOBS = Path(__file__).parents[2] / "golden" / "jobs"
QUICK = SolverConfig(time_limit_s=5.0, alternatives=1)


def told(name: str) -> PlanTold:
    """Return what planning one of the small jobs says."""
    return plan_job(load_job(JOBS / f"{name}.yaml"), QUICK)


@pytest.mark.parametrize(
    ("name", "first_words", "code"),
    [
        ("two_rooms", "FITS: tightest is P2 “BACK” at 96 % in SU2", ExitCode.HOLDS),
        ("only_if", "FITS ONLY IF hot water is off in SU1", ExitCode.HOLDS),
        ("too_much", "CANNOT RUN AS ASKED: SU1 needs 24.0 A", ExitCode.BREAKS_A_LIMIT),
    ],
)
def test_first_line_is_the_answer(name: str, first_words: str, code: ExitCode) -> None:
    """Whatever follows, the first line alone answers and the exit code agrees."""
    answer = told(name)
    assert answer.text().startswith(first_words)
    assert answer.exit_code is code


def test_impossible_shows_the_split_and_what_fits() -> None:
    """The least overload and the heads to leave out stand right below the answer."""
    lines = told("too_much").text().split("\n")
    assert lines[1].startswith("Best possible split of everything: ")
    assert lines[2].startswith("Without fill in SU1 it fits: tightest is P1 “FRONT” at 90 %")


def test_what_fits_with_less_light_is_promised_only_as_far_as_the_wiring_lets_it() -> None:
    """Five lamps of 3 A and a heater of 6 A on 20 A: fewer lamps fit by what is sure.

    But the heater's outlet is 95 in 100 on the way of a pump of 5 A, where 11 A are more than its
    10: what trips in 95 of 100 wirings is not told to fit plainly.
    """
    job = small_job(
        circuits={"P1": circuit(10.0), "P2": circuit(10.0)},
        outlets={
            "O1": outlet("P1", "lounge", sockets=1),
            "O2": outlet("P2", "bed", sockets=1),
            "O3": {"room": "bath", "maybe_on": ["P1", "P2"], "sockets": 1},
        },
        rooms={"lounge": {}, "bed": {}, "bath": {}},
        wiring={"outlets": {"O3": {"P2": 95, "P1": 5}}},
        heads={"lamp": amps(3.0, count=5)},
        departments={"heater": amps(6.0, kind="heater", outlet="O3")},
        house={"pump": amps(5.0, kind="motor", circuit="P2", policy="must stay on")},
        setups=[setup(lamp={"lounge": 5}, on=["heater"])],
    )
    lines = " ".join(plan_job(job, QUICK).text().split())
    assert "it fits only if the wiring is kind: what is fullest depends on the wiring" in lines


def test_the_split_is_told_with_what_may_be_off_switched_off() -> None:
    """24 A of light on a supply of 16 A is 150 %: a heater that may be off is no part of the no.

    The set-ups in which it is off are told in the order of the day, not of their names.
    """
    job = small_job(
        supply={"limit_a": 16.0},
        circuits={"P1": {"breaker_a": 16.0}, "P2": {"breaker_a": 16.0}, "H": {"breaker_a": 10.0}},
        heads={"lamp": amps(8.0, count=3)},
        house={
            "heater": {
                **amps(6.0, kind="heater"),
                "circuit": "H",
                "policy": "may be off",
                "starts_by_itself": True,
            }
        },
        setups=[setup("one", lamp={"lounge": 3}), setup("also", lamp={"lounge": 3})],
    )
    lines = plan_job(job, QUICK).text().split("\n")
    assert lines[0] == "CANNOT RUN AS ASKED: one needs 24.0 A; the supply gives 16.0 A"
    assert lines[1].startswith("Best possible split if heater is off in one and also: the supply")
    assert "150 % in one" in " ".join(lines[1:3])


@pytest.mark.parametrize("others", [0, 1, 3, 5])
def test_every_set_up_that_cannot_run_is_named(others: int) -> None:
    """The first line tells of one; three more are told with their sums, the rest by name.

    Six lamps of 4 A are 24 A, and two circuits of 10 A give 20 (sums by hand).
    """
    names = [f"S{n}" for n in range(1, 2 + others)]
    setups = [setup(name, lamp={"lounge": 6}) for name in names]
    job = small_job(heads={"lamp": amps(4.0, count=6)}, setups=[*setups, setup("Z", lamp="lounge")])
    text = " ".join(plan_job(job, QUICK).text(is_brief=True).split())
    assert text.startswith("CANNOT RUN AS ASKED: S1 needs 24.0 A")
    assert [f"Besides: {name} needs 24.0 A" in text for name in names[1:4]] == [True] * min(
        others, 3
    )
    assert text.count("Besides: ") == min(others, 3)
    assert ("Nor can S5 and S6 run." in text) is (others == 5)
    assert "Besides: Z" not in text


def test_undecided_says_so_and_shows_nothing() -> None:
    """No plan and no proof is an answer of its own."""
    job = small_job()
    done = plan_job(job, QUICK)
    open_end = PlanTold(
        done.facts, Undecided(reason="time"), done.answer.__class__(done.answer.says, "x"), None
    )
    assert open_end.exit_code is ExitCode.UNDECIDED
    assert open_end.text() == "x"
    assert open_end.plan is None


@pytest.mark.parametrize("name", ["two_rooms", "only_if", "too_much"])
def test_no_line_is_wider_than_a_terminal(name: str) -> None:
    """80 columns hold every line."""
    assert max(len(line) for line in told(name).text().split("\n")) <= 80


def test_brief_is_the_beginning_of_the_whole() -> None:
    """``--brief`` leaves out, it does not say anything else."""
    answer = told("two_rooms")
    assert answer.text().startswith(answer.text(is_brief=True))
    assert "Why there" not in answer.text(is_brief=True)


def test_one_set_up_shows_that_board_only() -> None:
    """SU1 has the fill light; SU2 has not."""
    only = told("two_rooms").text(setup="SU2", is_brief=True)
    assert "kettle" in only
    assert "fill" not in only


def test_colour_changes_no_word() -> None:
    """Meaning never hangs on colour."""
    answer = told("two_rooms")
    loud = answer.text(Style(colour=True))
    for code in ("\x1b[0m", "\x1b[1m", "\x1b[2m"):
        loud = loud.replace(code, "")
    assert loud == answer.text()


def test_amps_up_and_room_down() -> None:
    """4.01 A of 10 A shows as 4.1 A used and 5.9 A left."""
    job = small_job(heads={"lamp": amps(4.01)})
    text = check_plan(job, plan_of(put("lamp", "O1", place="lounge"))).text()
    assert "4.1 of 10.0 A   5.9 A left    41 %" in text


def test_a_contract_is_a_limit_like_any_other_and_may_be_the_tightest() -> None:
    """2300 W on two 16 A ways are 32 % each, but 4600 of 5000 W are 92 % of the contract.

    By hand: 2300 W / 230 V = 10 A of 32 A a way, 20 A of 40 A in all, 50 %.
    """
    lamp = {"kind": "tungsten", "plate_w": 2300.0, "cord_m": 50.0, "count": 2}
    job = small_job(
        region="EU",
        supply={"limit_a": 40.0, "planning_v": 230.0, "contract_w": 5000.0},
        circuits={name: circuit(32.0) for name in ("P1", "P2")},
        heads={"lamp": lamp},
        setups=[setup("SU1", lamp=["lounge", "bed"]), setup("SU2", lamp="bed")],
    )
    told = check_plan(
        job,
        plan_of(
            put("lamp", "O1", name="SU1", place="lounge"),
            put("lamp", "O2", name="SU1", unit=2, place="bed"),
            put("lamp", "O2", name="SU2", place="bed"),
        ),
    )
    text = told.text(is_brief=True)
    assert text.startswith("HOLDS: tightest is the supply contract at 92 % in SU1")
    assert text.split("\n")[2].split()[:4] == ["SU1", "the", "supply", "contract"]
    assert "4600 of 5000 W   400 W left    92 %" in text
    assert "2300 of 5000 W  2700 W left    46 %" in text
    (first, _) = told.data()["plan"]["verdict"]["contract"]
    assert (first["kind"], first["used_pct"], first["limit_a"]) == ("contract", 92, 21.739)
    assert not check_plan(small_job(), plan_of()).data()["plan"]["verdict"]["contract"]


def test_unknown_circuits_are_shown_once_and_counted_on_each() -> None:
    """The lamp stands under both circuits' names and each carries it."""
    job = small_job(outlets={"O1": outlet(None, "lounge"), "O2": outlet("P2", "bed")})
    text = check_plan(job, plan_of(put("lamp", "O1", place="lounge"))).text(is_brief=True)
    assert "P1 or P2: not known which, counted on each" in text
    assert text.count("4.0 of 10.0 A") == 2


def test_long_running_loads_are_said_to_count_for_more() -> None:
    """Where the region counts continuous loads 1.25 times the board says so."""
    job = small_job(
        region="US",
        supply={"system": "split-phase", "limit_a": 100.0, "planning_v": 120.0},
        circuits={"P1": circuit(15.0, phase="A"), "P2": circuit(15.0, phase="B")},
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed")},
    )
    text = check_plan(job, plan_of(put("lamp", "O1", place="lounge"))).text(is_brief=True)
    assert "5.0 of 15.0 A" in text
    assert "Breakers count what runs for hours 1.25 times." in text


def test_overload_is_told_in_words() -> None:
    """A plan over its limit says by how much, without needing the bar."""
    job = small_job(heads={"lamp": amps(6.0, count=2)}, setups=[setup(lamp={"lounge": 2})])
    plan = plan_of(
        put("lamp", "O1", place="lounge"), put("lamp", "O1", unit=2, socket=2, place="lounge")
    )
    answer = check_plan(job, plan)
    assert answer.exit_code is ExitCode.BREAKS_A_LIMIT
    assert answer.text().startswith("BREAKS A LIMIT: P1 “PLUGS” carries 12.0 A in SU1")
    assert "2.0 A over   120 %" in answer.text()


def test_unused_circuits_are_offered() -> None:
    """What is free is where the next heater goes."""
    job = small_job(circuits=circuits(P1=10.0, P2=16.0))
    text = check_plan(job, plan_of(put("lamp", "O1", place="lounge"))).text(is_brief=True)
    assert "Free: P2 “PLUGS” 16.0 A" in text


def test_reduced_plan_is_the_one_shown() -> None:
    """When the job cannot run as asked, the plan shown is the fullest legal one."""
    answer = told("too_much")
    assert isinstance(answer.outcome, Impossible)
    assert answer.outcome.reduced is not None
    assert answer.plan == answer.outcome.reduced[0]


def test_light_that_stays_is_told_in_detail_only_where_it_is_little() -> None:
    """Six lamps over two circuits: either drop leaves one on P2 or five on P1."""
    job = small_job(
        circuits=circuits(P1=40.0, P2=10.0),
        outlets={"O1": outlet("P1", "lounge", sockets=5), "O2": outlet("P2", "bed")},
        heads={"lamp": amps(4.0, count=6)},
        setups=[setup(lamp={"lounge": 6})],
    )
    on_p1 = [put("lamp", "O1", unit=n, socket=n, place="lounge") for n in range(1, 6)]
    plan = plan_of(*on_p1, put("lamp", "O2", unit=6, place="lounge"))
    text = check_plan(job, plan).text()
    assert "If P1 “PLUGS” drops: SU1 lamp #6" in text
    assert "If any other circuit drops: 5 heads or more stay lit" in text


def test_light_that_stays_is_told_once_where_it_is_the_same_for_several() -> None:
    """A lamp on an outlet nobody traced may go with any circuit: what the others leave is alike."""
    job = small_job(
        circuits=circuits(P1=10.0, P2=10.0, P3=10.0),
        outlets={"O1": outlet(None, "lounge"), "O2": outlet("P2", "bed")},
        heads={"lamp": amps(4.0, count=2)},
        setups=[setup(lamp={"lounge": 1, "bed": 1})],
    )
    plan = plan_of(put("lamp", "O1", place="lounge"), put("lamp", "O2", unit=2, place="bed"))
    text = check_plan(job, plan).text()
    assert "If P1 “PLUGS” or P3 “PLUGS” drops: SU1 lamp #2\n" in text
    assert "If P2 “PLUGS” drops: SU1 none\n" in text


def test_a_set_up_with_nothing_on_has_no_fullest_device() -> None:
    """A meal break in the middle of the day: no circuit is named at 0 %, and no table is drawn."""
    job = small_job(setups=[setup("SU1", lamp="lounge"), setup("LUNCH")])
    told = check_plan(job, plan_of(put("lamp", "O1", place="lounge"))).text(is_brief=True)
    assert "nothing is on" in next(line for line in told.split("\n") if "LUNCH" in line)
    assert told.endswith("LUNCH\n  Nothing is on.")


def test_where_everything_hangs_on_the_wiring_no_set_up_is_called_empty() -> None:
    """6 and 5 A on one of two circuits of 10 A, nobody knows which: no figure is true, not 0 %.

    The two are on either leg, so that not even a leg is sure to carry anything.
    """
    job = small_job(
        region="CA",
        supply={"system": "split-phase", "limit_a": 60.0},
        circuits={"P1": circuit(10.0, phase="A"), "P2": circuit(10.0, phase="B")},
        outlets={n: outlet(None, "lounge") for n in ("O1", "O2")},
        heads={"lamp": amps(6.0), "spot": amps(5.0)},
        setups=[setup("SU1", lamp="lounge", spot="lounge"), setup("SU2", lamp="lounge")],
    )
    told = plan_job(job, QUICK).text(is_brief=True)
    assert "nothing is on" not in told
    (line,) = (each for each in told.split("\n") if each.startswith("  SU1 "))
    assert line.split(maxsplit=1)[1] == "depends on the wiring"


def test_set_ups_of_bare_numbers_read_as_set_ups() -> None:
    """`Without 1 key in 1 and 2 key in 2` is arithmetic; scenes are numbered all the same."""
    job = small_job(
        heads={"key": amps(7.0, count=4)},
        setups=[setup("1", key={"lounge": 3}), setup("2", key={"lounge": 4})],
    )
    text = " ".join(plan_job(job, QUICK).text().split())
    assert "Without 1 key in set-up 1 and 2 key in set-up 2 it fits: tightest is " in text
    assert "% in set-up 1. That plan follows." in text
    offered = offers_of(job, SolverConfig(time_limit_s=5.0)).text()
    assert "; nor can set-up 2" in " ".join(offered.split())
