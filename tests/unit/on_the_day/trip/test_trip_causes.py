"""What opened, told apart by its sign, on small houses of several regions written for the test.

Signs and remedies are common practice, no source; that a plug fuse protects one plug is BS 1363,
that a class A GFCI is an outlet with its own button UL 943.
"""

import pytest

from builders import Entry, amps, circuit, circuits, outlet, put, setup, small_job
from spreadload.job.job import Job
from spreadload.on_the_day.trip.causes import LEAST_TOLD, SIGNS, Cause
from spreadload.on_the_day.trip.lines import radio_line
from spreadload.on_the_day.trip.words import device_words
from spreadload.report.style import Style
from spreadload.report.trip_text import trip_text
from trips import causes, told


def flat(**changes: Entry | str | list[Entry]) -> Job:
    """Return the small flat with a lamp and a kettle, one on each circuit."""
    data: Entry = {
        "heads": {"lamp": amps(4.0), "spot": amps(3.0)},
        "departments": {"kettle": amps(7.0, room="bed")},
        "setups": [setup(lamp="lounge", spot="lounge", on=["kettle"])],
        "power_boards": [{"ways": 4, "rating_a": 10, "cut_out": True, "count": 2}],
    }
    return small_job(**(data | changes))


LAMP, SPOT, KETTLE = (
    put("lamp", "O1", place="lounge"),
    put("spot", "O1", place="lounge", socket=2),
    put("kettle", "O2"),
)


def test_dark_on_one_circuit_and_lit_on_the_other_is_that_breaker() -> None:
    """Everything dead is on it, everything alive is not."""
    answer = told(flat(), LAMP, SPOT, KETTLE, dark=("O1",), lit=("O2",))
    assert (answer.causes[0].cause, answer.causes[0].device) == (Cause.BREAKER, "P1")
    assert Cause.MAIN not in causes(answer)


def test_half_a_power_point_alive_rules_out_the_breaker() -> None:
    """A board's cut-out leaves the other half of the same double outlet alive."""
    on_board = (
        put("lamp", "O1", place="lounge", board=0),
        put("spot", "O1", place="lounge", board=0),
        put("kettle", "O1", socket=2),
    )
    job = flat(departments={"kettle": amps(7.0, room="lounge")})
    answer = told(
        job,
        *on_board,
        dark=("O1",),
        lit=("O1",),
        dark_units=on_board[:2],
        lit_units=on_board[2:],
    )
    assert answer.causes[0].cause is Cause.CUT_OUT
    assert Cause.BREAKER not in causes(answer)


@pytest.mark.parametrize(
    ("region", "stated", "has_one"),
    [
        ("AU", {}, True),
        ("EU", {}, False),
        ("EU", {"cut_out": True}, True),
        ("AU", {"cut_out": False}, False),
    ],
)
def test_a_board_nobody_looked_at_is_as_boards_are_there(
    region: str, stated: Entry, *, has_one: bool
) -> None:
    """Boards have a cut-out in Australia and none in Europe (practice/data/regions)."""
    on_board = (
        put("lamp", "O1", place="lounge", board=0),
        put("spot", "O1", place="lounge", board=0),
        put("kettle", "O1", socket=2),
    )
    job = flat(
        region=region,
        departments={"kettle": amps(7.0, room="lounge")},
        power_boards=[{"ways": 4, "rating_a": 10, **stated}],
    )
    answer = told(job, *on_board, dark=("O1",), dark_units=on_board[:2], lit_units=on_board[2:])
    assert (Cause.CUT_OUT in causes(answer)) == has_one


def test_one_dead_plug_beside_a_live_one_is_its_fuse_where_plugs_have_fuses() -> None:
    """BS 1363 plugs have a fuse of their own; flat-pin plugs have none."""
    seen = {"dark": ("O1",), "lit": ("O1",), "dark_units": (LAMP,), "lit_units": (SPOT,)}
    uk = told(flat(region="UK"), LAMP, SPOT, KETTLE, **seen)  # type: ignore[arg-type]
    au = told(flat(), LAMP, SPOT, KETTLE, **seen)  # type: ignore[arg-type]
    assert uk.causes[0].cause is Cause.PLUG_FUSE
    assert Cause.PLUG_FUSE not in causes(au)
    assert causes(au)[Cause.ITEM] == 1


def test_outlets_behind_an_rcd_dark_on_two_circuits_are_the_rcd() -> None:
    """One RCD takes two circuits down; a breaker takes one."""
    job = flat(
        rcds={"RCD1": {"trips_at_ma": 30}},
        circuits=circuits(P3=10.0)
        | {"P1": circuit(10.0, rcd="RCD1"), "P2": circuit(10.0, rcd="RCD1")},
        outlets={"O1": outlet("P1"), "O2": outlet("P2"), "O3": outlet("P3")},
        rooms={"lounge": {}, "bed": {}},
        departments={"kettle": amps(7.0, outlet="O2")},
    )
    answer = told(job, LAMP, SPOT, KETTLE, dark=("O1", "O2"), lit=("O3",))
    assert [(c.cause, c.device) for c in answer.causes] == [(Cause.RCD, "RCD1")]


def test_a_receptacle_with_its_own_button_is_a_gfci_and_teaches_nothing_false() -> None:
    """A GFCI in one outlet is behind no circuit's RCD; its trip does not clash with the map."""
    job = flat(
        region="US",
        supply={"system": "split-phase", "limit_a": 100.0, "limit_source": "stated"},
        rcds={"G1": {"trips_at_ma": 5, "kind": "GFCI"}},
        circuits={"P1": circuit(20.0, phase="A"), "P2": circuit(20.0, phase="B")},
        outlets={"O1": outlet("P1", "lounge", rcd="G1"), "O2": outlet("P2", "bed")},
    )
    answer = told(job, LAMP, SPOT, KETTLE, dark=("O1",), device="G1")
    assert answer.causes[0].cause is Cause.GFCI
    assert answer.disputes == ()
    assert "reset bare" in radio_line(answer)


@pytest.mark.parametrize(
    ("more", "cause"),
    [
        ({"arc_fault": True}, Cause.ARC_FAULT),
        ({"breaker_a": None, "fuse_a": 15.0, "rewireable": True}, Cause.FUSE),
        ({"rcd": "R1"}, Cause.RCBO),
        ({}, Cause.BREAKER),
    ],
)
def test_the_way_of_the_board_says_what_kind_of_thing_opened(more: Entry, cause: Cause) -> None:
    """Arc-fault breaker, fuse, combined device and plain breaker each have their own remedy."""
    job = flat(
        circuits={"P1": circuit(10.0) | more, "P2": circuit(10.0)},
        rcds={"R1": {"kind": "RCBO"}},
    )
    answer = told(job, LAMP, SPOT, KETTLE, device="P1")
    assert answer.causes[0].cause is cause


def test_everything_dark_weighs_main_service_fuse_meter_and_network() -> None:
    """Only a contract has a meter that opens; each has its own sign."""
    supply = {"limit_a": 63.0, "limit_source": "stated", "contract_w": 3000.0}
    italy = told(flat(region="IT", supply=supply), LAMP, SPOT, KETTLE, dark=("O1", "O2"))
    plain = told(flat(), LAMP, SPOT, KETTLE, dark=("O1", "O2"))
    whole = {Cause.MAIN, Cause.SERVICE_FUSE, Cause.NETWORK}
    assert whole <= set(causes(plain))
    assert Cause.METER not in causes(plain)
    assert italy.causes[0].cause is Cause.METER
    apparent = {"planning_v": 230.0, "contract_va": 3000.0}
    france = told(flat(region="EU", supply=apparent), LAMP, SPOT, KETTLE, dark=("O1", "O2"))
    assert france.causes[0].cause is Cause.METER
    assert len({SIGNS[cause].sign for cause in SIGNS}) == len(SIGNS)


def test_the_main_handle_seen_down_is_no_meter_and_no_fuse() -> None:
    """What somebody saw at the board is not weighed against what nobody saw."""
    supply = {"limit_a": 63.0, "limit_source": "stated", "contract_w": 3000.0}
    answer = told(flat(region="IT", supply=supply), LAMP, SPOT, KETTLE, device="main")
    assert [c.cause for c in answer.causes] == [Cause.MAIN]


def test_no_handle_down_rules_out_every_handle() -> None:
    """Then it is a lost phase, a fuse, an outlet's own button, or nothing of ours."""
    job = flat(
        supply={"system": "three-phase", "limit_a": 63.0, "limit_source": "stated"},
        circuits={"P1": circuit(10.0, phase="L1"), "P2": circuit(10.0, phase="L2")},
    )
    answer = told(job, LAMP, SPOT, KETTLE, dark=("O1",), lit=("O2",), device="none")
    assert not {Cause.BREAKER, Cause.RCD, Cause.MAIN} & set(causes(answer))
    assert "L1" in {c.device for c in answer.causes}
    assert Cause.PHASE in causes(answer)


def test_lamps_that_got_brighter_are_a_broken_neutral_and_nothing_else() -> None:
    """The one case in which the main goes off at once."""
    answer = told(flat(), LAMP, SPOT, KETTLE, dark=("O1",), bright=("O2",))
    assert [c.cause for c in answer.causes] == [Cause.NEUTRAL]
    assert "main off at once" in radio_line(answer)
    assert answer.move is None


def test_everything_behind_a_sub_board_is_its_feed() -> None:
    """A sub-board that is dark as a whole is fed by one handle."""
    job = flat(
        sub_boards={"SB": {"label": "STAGE BOARD", "feed_a": 12.0}},
        circuits=circuits(P3=10.0)
        | {"P1": circuit(10.0, sub_board="SB"), "P2": circuit(10.0, sub_board="SB")},
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed"), "O3": outlet("P3")},
    )
    answer = told(job, LAMP, SPOT, KETTLE, dark=("O1", "O2"), lit=("O3",))
    assert (answer.causes[0].cause, answer.causes[0].device) == (Cause.FEED, "SB")
    # 4 + 3 + 7 A on a feed of 12 A: one plug has to leave the sub-board, and only P3 is outside.
    assert answer.move is not None
    assert answer.move.steps[0].to.point == "O3"
    assert answer.move.after_ma <= 12_000


@pytest.mark.parametrize(("system", "phase"), [("split-phase", "A"), ("three-phase", "L1")])
def test_the_main_is_told_of_what_flows_as_the_plan_tells_it(system: str, phase: str) -> None:
    """A lamp of 10 A for hours counts as 12.5 A on its breaker and as 10 A on the main.

    By hand: NEC 210.20(A) asks 125 % of branch circuits; the plan's line on the main is of what
    flows, and what is said after a trip has to be the same figure.
    """
    job = small_job(
        region="US",
        supply={"system": system, "limit_a": 20.0, "limit_source": "main breaker"},
        circuits={n: circuit(15.0, phase=phase) for n in ("P1", "P2")},
        outlets={n: outlet(c, "lounge", plug="us-15") for n, c in (("O1", "P1"), ("O2", "P2"))},
        heads={"lamp": amps(10.0, plug="us-15")},
        setups=[setup(lamp="lounge")],
    )
    lamp = put("lamp", "O1", place="lounge")
    main = told(job, lamp, dark=("O1", "O2"), device="main").carried
    breaker = told(job, lamp, dark=("O1",), lit=("O2",), device="P1").carried
    assert main is not None
    assert breaker is not None
    assert (main.counted, main.actual) == (10_000, 10_000)
    assert (breaker.counted, breaker.actual) == (12_500, 10_000)


def test_a_plug_to_move_is_said_before_a_guess_at_what_is_unseen() -> None:
    """11 A of 10 A that opened within the minute: one lamp moves, and more than that was on.

    IEC 60898-1: a breaker that opens in under a minute carries 2.55 times its rating, 25.5 A.
    """
    heads = {"lamp": amps(6.0), "spot": amps(5.0)}
    job = flat(heads=heads, departments={}, setups=[setup(lamp="lounge", spot="lounge")])
    answer = told(job, LAMP, SPOT, dark=("O1",), lit=("O2",), device="P1", after_s=45.0)
    assert answer.move is not None
    line = radio_line(answer)
    assert line.startswith("Move ")
    assert line.endswith("Look for a heater too.")


def bath(use: str, **changes: object) -> Job:
    """Return a room with a GFCI on a 20 A breaker of its own, and a dryer of 15 A in it."""
    stated: dict[str, object] = {
        "region": "US",
        "supply": {"system": "split-phase", "limit_a": 100.0, "limit_source": "main breaker"},
        "rcds": {"G": {"trips_at_ma": 5, "kind": "GFCI"}},
        "circuits": {"P1": circuit(20.0, phase="A"), "P2": circuit(20.0, phase="B")},
        "rooms": {"wet": {"use": use}, "bed": {"use": "bedroom"}},
        "outlets": {
            "O1": outlet("P1", "wet", rcd="G"),
            "O2": outlet("P2", "bed"),
        },
        "heads": {},
        "departments": {
            "dryer": amps(15.0, kind="heater", intermittent=True, outlet="O1"),
        },
        "setups": [setup("SU1", on=["dryer"])],
    }
    return small_job(**(stated | changes))


@pytest.mark.parametrize("just", ["", "dryer"])
def test_a_gfci_where_water_is_near_goes_before_a_breaker_that_is_not_full(just: str) -> None:
    """A dryer of 15 A leaves a 20 A breaker alone, and damp opens a GFCI of 5 mA.

    Common practice, no source: in a bathroom the button is pressed before anybody walks to the
    board. In a dry room the breaker is still looked at first; with its handle seen, only that.
    """
    wet, dry = (
        told(bath(use), put("dryer", "O1"), dark=("O1",), just=just)
        for use in ("bathroom", "bedroom")
    )
    assert wet.causes[0].cause is Cause.GFCI
    assert dry.causes[0].cause is Cause.BREAKER
    assert {c.cause for c in wet.causes} == {c.cause for c in dry.causes}
    seen = told(bath("bathroom"), put("dryer", "O1"), dark=("O1",), device="P1")
    assert seen.causes[0].cause is Cause.BREAKER
    assert radio_line(wet).endswith("Unplug dryer at O1 meanwhile.")


def test_an_overfull_breaker_still_goes_before_the_gfci() -> None:
    """Two dryers, 30 of 20 A, in the same bathroom: amps explain it."""
    job = bath(
        "bathroom",
        departments={"dryer": amps(15.0, kind="heater", intermittent=True, outlet="O1", count=2)},
    )
    both = (put("dryer", "O1"), put("dryer", "O1", unit=2, socket=2))
    assert told(job, *both, dark=("O1",)).causes[0].cause is Cause.BREAKER


def test_what_is_hardly_possible_is_not_asked_for() -> None:
    """The first line asks for no cause that is too unlikely to be listed."""
    job = bath(
        "bedroom",
        rcds={},
        outlets={f"O{n}": outlet("P1" if n < 3 else "P2", "bed") for n in range(1, 7)},
        departments={"dryer": amps(18.0, kind="heater", intermittent=True, room="bed", count=2)},
    )
    both = (put("dryer", "O1"), put("dryer", "O2", unit=2))
    answer = told(job, *both, dark=("O1", "O2"), lit=("O3", "O4", "O5"))
    likely, unlikely = answer.causes[:2]
    assert unlikely.share < LEAST_TOLD < likely.share
    line = radio_line(answer)
    assert device_words(answer.scene.facts, likely) in line
    assert device_words(answer.scene.facts, unlikely) not in line


@pytest.mark.parametrize("after_s", [None, 0.0, 600.0])
@pytest.mark.parametrize("load_a", [8.0, 12.0])
def test_a_way_that_feeds_no_outlet_is_left_to_the_owner(
    after_s: float | None, load_a: float
) -> None:
    """The water heater's own way opened: no kettle of the crew's can be on it.

    Common practice, no source: what is wired in is the owner's, and a licensed electrician's.
    """
    job = small_job(
        circuits={"P1": circuit(10.0), "HW": circuit(10.0, label="WATER", feeds="water")},
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet(None, "bed")},
        house={"tank": amps(load_a, kind="heater", circuit="HW", policy="must stay on")},
    )
    answer = told(job, put("lamp", "O1", place="lounge"), device="HW", after_s=after_s)
    assert (answer.intruder, answer.move, answer.shed) == (None, None, None)
    assert radio_line(answer).startswith("Leave WATER off: it feeds no outlet. Tell the owner")
    said = " ".join(trip_text(answer, Style()).split())
    assert "heater, kettle" not in said
    assert "Back on, in this order" not in said
