"""What is said after a trip in an American and a British house, device by device.

Held to the rows of what can open: its sign, what it says of the wiring, the first move. All of
it common practice, no source, but for: a class A GFCI is an outlet with its own button (UL 943), a
British plug has a fuse of its own (BS 1363, BS 1362), a combined device opens for amps and for
leakage (IEC 61009-1), handles over one neutral are tied (NEC 210.4(B)).
"""

from pathlib import Path

import pytest

from builders import circuit, plan_of, put, small_job
from spreadload.app.loaded import find_plan, load_day
from spreadload.app.trip import TripSaid, TripTold, trip
from spreadload.io.trip_words import read_trip
from spreadload.on_the_day.trip.causes import Cause
from spreadload.report.style import Style
from spreadload.report.trip_text import trip_text
from trips import told as told_of

JOBS = Path(__file__).parents[3] / "golden" / "jobs"
US, UK = "us_breakfast", "uk_terrace"


def told(house: str, setup: str, **said: object) -> TripTold:
    """Return the answer to a trip in one of the two houses."""
    day = load_day(JOBS / f"{house}.yaml")
    plan, _ = find_plan(JOBS, day.stated, JOBS / f"{house}.plan.json")
    words = {"dark": (), **said}
    return trip(day, plan, TripSaid(setup=setup, when="2026-03-01T10:00", **words))  # type: ignore[arg-type]


def text_of(answer: TripTold) -> str:
    """Return the text without its line breaks."""
    return " ".join(answer.text().split())


def radio_of(answer: TripTold) -> str:
    """Return what is said before people are told to stand still."""
    return text_of(answer).split(" People first:")[0]


@pytest.mark.parametrize(
    ("house", "setup", "said", "cause", "first", "also"),
    [
        (
            US,
            "1",
            {"device": "R4", "just": "coffee"},
            Cause.GFCI,
            "Unplug coffee at R4. The GFCI at R4: reset bare, add one by one.",
            ["its button is out", "with nothing plugged in behind it, press its reset button in"],
        ),
        (
            US,
            "1",
            {"device": "5", "dark": ("R6",)},
            Cause.ARC_FAULT,
            "Unplug DAY at R6: drivers and motors open BEDROOMS. Then back on once.",
            ["If it opens again with nothing plugged in, leave it off: licensed electrician."],
        ),
        (
            US,
            "1",
            {"device": "6", "dark": ("R7",), "just": "curling", "after": "30s"},
            Cause.RCBO,
            (
                "Unplug what is not in the plan on BATH, then curling: amps or leakage, and ours "
                "is only 2.5 of 20.0 A. Then BATH back on bare, add one by one."
            ),
            ["If amps opened it, about 29 to 60 A", "If leakage opened it", "Behind G2"],
        ),
        (
            US,
            "1",
            {"device": "main"},
            Cause.MAIN,
            (
                "Kill everything. Ours is only 23.9 of 100.0 A on leg B: look for what the house "
                "switched on by itself. Then main on, bring up in order."
            ),
            ["Switch everything off", "fridge", "DAY. Discharge last"],
        ),
        (
            US,
            "1",
            {"device": "GAR", "dark": ("R8", "R9")},
            Cause.FEED,
            (
                "Walk GARAGE SUBPANEL, unplug what is not in the plan: ours is only 12.2 of 40.0 "
                "A. Then GARAGE SUBPANEL back on once."
            ),
            ["feed of GARAGE SUBPANEL: everything behind one sub-board is dead"],
        ),
        (
            US,
            "1",
            {"bright": ("R3",), "dark": ("R5",)},
            Cause.NEUTRAL,
            "Broken neutral: main off at once, unplug everything, licensed electrician.",
            [],
        ),
        (
            US,
            "1",
            {"dark": ("R5", "R6", "R8"), "lit": ("R3", "R7")},
            Cause.PHASE,
            (
                "Look: is it lost leg A or a broken neutral? If any lamp got brighter: main off "
                "at once, unplug everything. Else switch off what is dead: network operator or "
                "licensed electrician."
            ),
            [],
        ),
        (
            US,
            "1",
            {"dark": ("all",)},
            Cause.NETWORK,
            "Look: is it a network outage or the main breaker? Switch everything off meanwhile.",
            ["the street is dark too", "the main handle is down, the street is lit"],
        ),
        (
            US,
            "1",
            {"dark": ("BULB", "cart", "LED4 #3"), "lit": ("R8",)},
            Cause.CUT_OUT,
            (
                "Look: is it the cut-out of the power board at R9 or breaker G-2 “WORKBENCH”? "
                "Move cart from R9 to R8. The power board at R9: 12.2 -> 5.9."
            ),
            ["press the button of the power board once"],
        ),
        (
            UK,
            "B",
            {"device": "plug fuse", "dark": ("kettle",), "lit": ("fridge",)},
            Cause.PLUG_FUSE,
            (
                "Plug fuse of kettle at S5, 12.2 of 13.0 A: unplug it; a new fuse of the same "
                "rating, once. If that blows too, kettle or its lead has a fault: leave it "
                "unplugged."
            ),
            ["never a bigger one"],
        ),
        (
            UK,
            "A",
            {"dark": ("TEN #1",), "lit": ("TEN #2",)},
            Cause.PLUG_FUSE,
            (
                "Look: is it the plug fuse at S1, or the item itself, its lead or a wall switch "
                "at S1? Try another lamp in the same socket."
            ),
            [],
        ),
        (
            UK,
            "A",
            {"dark": ("TEN", "SOFT"), "lit": ("S2",)},
            Cause.PLUG_FUSE,
            "Move TEN #1 from S1 to S6. The power board at S1: 12.4 -> 8.0.",
            ["never a bigger one"],
        ),
        (
            UK,
            "A",
            {"device": "RCD A", "dark": ("S1", "S2")},
            Cause.RCD,
            "Unplug DAY at S2. RCD A: reset bare, add one by one.",
            ["8 mA standing leakage; may open from 15 mA", "with nothing plugged in behind it"],
        ),
        (
            UK,
            "B",
            {"device": "C3", "just": "kettle", "after": "at once"},
            Cause.RCBO,
            "Unplug kettle: inrush or a fault in it. Then KITCHEN back on without it.",
            ["with nothing plugged in on it"],
        ),
        (
            UK,
            "A",
            {"device": "C5", "dark": ()},
            Cause.BREAKER,
            (
                "Walk SHED, unplug what is not in the plan: nothing of ours is on it. Then SHED "
                "back on once."
            ),
            [],
        ),
        (
            UK,
            "A",
            {"device": "service fuse"},
            Cause.SERVICE_FUSE,
            (
                "Service fuse: stop. Only the network operator replaces it, and that takes hours; "
                "switch everything off."
            ),
            ["less must be on"],
        ),
    ],
)
def test_each_device_has_its_own_first_move(
    house: str, setup: str, said: dict[str, object], cause: Cause, first: str, also: list[str]
) -> None:
    """The radio line is what the row says, and the page goes on from there."""
    answer = told(house, setup, **said)
    assert answer.answer.causes[0].cause is cause
    assert radio_of(answer) == first
    assert [words for words in also if words not in text_of(answer)] == []


def test_an_isolator_is_an_unlikely_culprit_and_a_main_breaker_a_likely_one() -> None:
    """British main switches open for no load; American ones are the limit of the house."""
    uk = {c.cause: c.share for c in told(UK, "A", dark=("all",)).answer.causes}
    us = {c.cause: c.share for c in told(US, "1", dark=("all",)).answer.causes}
    assert uk[Cause.MAIN] / uk[Cause.SERVICE_FUSE] == pytest.approx(1.0)
    assert us[Cause.MAIN] / us[Cause.SERVICE_FUSE] == pytest.approx(5.0)


def test_a_main_that_opened_brings_the_whole_house_back_not_one_leg() -> None:
    """Everything is dark when the main opens, whichever leg had too much on it."""
    answer = told(US, "1", device="main").answer
    assert answer.back is not None
    back = {p.load for p in answer.back.order}
    assert back == {p.load for p in answer.plan.placements if p.setup == "1"}


def test_tied_handles_come_back_together() -> None:
    """Two circuits over one neutral open and close with one handle: all on both is off first.

    Older boards have them without a tie, which the job does not say, so it is not claimed.
    """
    answer = told(US, "1", device="1", dark=("R3", "R5"))
    shared = "KITCHEN CTR and DINING + KITCHEN share a neutral: their handles are tied, or ought to"
    assert shared in text_of(answer)
    assert "all on KITCHEN CTR and DINING + KITCHEN off" in text_of(answer)
    assert answer.answer.back is not None
    assert {"coffee", "LED4"} <= {p.load for p in answer.answer.back.order}


def test_fuses_over_one_neutral_have_no_handles_to_tie() -> None:
    """Old boards have screw-in fuses; whoever fits one has to know of the other."""
    job = small_job(
        region="US",
        supply={"system": "split-phase", "limit_a": 60.0, "limit_source": "fuses"},
        circuits={
            "P1": {"label": "FRONT", "fuse_a": 15, "phase": "A", "shares_neutral_with": "P2"},
            "P2": {"label": "BACK", "fuse_a": 15, "phase": "B"},
        },
    )
    answer = told_of(job, put("lamp", "O1", place="lounge"), device="P1")
    said = " ".join(trip_text(answer, Style()).split())
    assert "FRONT and BACK share a neutral: a fuse has no handle that ties them" in said
    assert "handles are tied" not in said


def test_no_driver_is_moved_from_one_arc_fault_breaker_to_another() -> None:
    """It may open that one as well; the living room, on an arc-fault breaker too, is in reach."""
    answer = told(US, "1", device="5", dark=("R6",)).answer
    assert answer.move is None


@pytest.mark.parametrize("after", ["5s", "3min"])
def test_the_clock_does_not_rule_out_an_arc(after: str) -> None:
    """5 s would be several times the rating: of an arc-fault breaker a driver is as good a reason.

    Common practice: drivers, motors and bad contacts open these at few amps.
    """
    answer = told(US, "1", device="5", dark=("R6",), after=after)
    assert answer.answer.intruder is not None
    assert "is not in the plan" not in radio_of(answer)
    text = " ".join(text_of(answer).split())
    assert "If amps opened it, about" in text
    assert "It opens on an arc too, whatever the amps" in text
    assert "bad contact: leave it off, licensed electrician" in text


def test_a_board_whose_handles_are_all_up_is_a_stop_not_the_same_question_again() -> None:
    """They looked: what is left is a handle half way, or a joint nobody of the crew touches."""
    answer = told(UK, "A", device="none", dark=("S1", "S2", "S3"), lit=("S4",))
    assert not answer.answer.causes
    assert "look again for one half way" in radio_of(answer)
    assert "licensed electrician" in radio_of(answer)


def test_two_heads_dead_on_a_live_board_are_themselves_the_reason() -> None:
    """Nothing upstream leaves the other half of one power board alive."""
    answer = told(UK, "A", dark=("SOFT",), lit=("TEN",)).answer
    assert [c.cause for c in answer.causes] == [Cause.ITEM]


def test_a_set_up_nobody_named_is_said() -> None:
    """A trip is reckoned for one set-up: a crew has to know for which, and how to say another."""
    day = load_day(JOBS / f"{US}.yaml")
    plan, _ = find_plan(JOBS, day.stated, JOBS / f"{US}.plan.json")
    answer = trip(day, plan, TripSaid(dark=(), device="main"))
    taken = str(answer.data()["setup"])
    other = next(s.id for s in day.stated.setups if s.id != taken)
    assert f"Reckoned for set-up {taken}, as no set-up was named" in text_of(answer)
    assert "Reckoned for" not in text_of(told(US, other, device="main"))
    assert told(US, other, device="main").data()["setup"] == other


def test_a_device_called_main_is_not_the_main_breaker() -> None:
    """``main`` is everybody's word for the main breaker, ``MAIN`` the RCD that goes by that id."""
    job = small_job(
        rcds={"MAIN": {}},
        circuits={"P1": circuit(10.0, rcd="MAIN"), "P2": circuit(10.0)},
    )
    plan = plan_of(put("lamp", "O1", place="lounge"))

    def device(word: str) -> str | None:
        return read_trip(job, plan, TripSaid(dark=(), device=word))[1].device

    assert (device("main"), device("MAIN"), device("Main breaker")) == ("main", "MAIN", "main")


@pytest.mark.parametrize("device", ["R4", "6", "main"])
def test_a_second_trip_is_a_stop_whatever_opened(device: str, tmp_path: Path) -> None:
    """Twice is enough: leave it off, licensed electrician, tell the owner."""
    for kind in ("yaml", "plan.json"):
        (tmp_path / f"job.{kind}").write_bytes((JOBS / f"{US}.{kind}").read_bytes())

    def at(when: str) -> TripTold:
        day = load_day(tmp_path)
        plan, _ = find_plan(tmp_path, day.stated, tmp_path / "job.plan.json")
        said = TripSaid(dark=(), setup="1", when=when, log=True, device=device)
        return trip(day, plan, said)

    assert not at("2026-03-01T10:00").answer.is_second
    answer = at("2026-03-01T11:00")
    assert answer.answer.is_second
    assert radio_of(answer).startswith("Stop.")
    assert "Licensed electrician, and tell the owner." in radio_of(answer)
