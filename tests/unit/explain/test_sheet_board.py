"""The board on a sheet, way by way: what is on it, its first move, the moves between set-ups."""

from builders import amps, circuit, circuits, outlet, put, small_job
from sheets import briefed, day, judged_of, sheet_of, two_setups
from spreadload.explain.first_moves import FirstMove, first_moves
from spreadload.explain.sheet.board import main_setup, ways_in_order
from spreadload.report.sheet import sheet_html


def test_ways_stand_in_the_order_of_their_numbers_board_by_board() -> None:
    """Way 2 comes before way 10, and a sub-board's ways after the main board's."""
    ways = {
        "late": circuit(10.0, way="10"),
        "garage": circuit(10.0, way="1", sub_board="SB"),
        "early": circuit(10.0, way="2"),
        "O1s": circuit(10.0, way="3"),
    }
    job = small_job(
        circuits=ways,
        sub_boards={"SB": {"feed_a": 20.0}},
        outlets={"O1": outlet("O1s", "lounge")},
    )
    assert ways_in_order(judged_of(job)) == ("early", "O1s", "late", "garage")


def test_ways_without_numbers_stand_as_the_job_has_them() -> None:
    """One way without a number leaves the crew's own order alone."""
    ways = {"b": circuit(10.0, way="2"), "a": circuit(10.0), "c": circuit(10.0, way="1")}
    job = small_job(circuits=ways, outlets={"O1": outlet("a", "lounge")})
    assert ways_in_order(judged_of(job)) == ("b", "a", "c")


def test_the_page_shows_the_set_up_that_takes_most() -> None:
    """9 A beats 4 A, whatever the order of the day."""
    assert main_setup(briefed(two_setups(), *day("O2")).judged) == "SU2"


def test_a_way_tells_what_is_on_it_and_what_is_left() -> None:
    """4.0 of 10 A leaves 6.0; the other set-up is named with its amps."""
    made = sheet_of(two_setups(), *day("O1"))
    way = next(w for w in made.setups[0].ways if w.id == "P1")
    assert (way.amps, way.left, way.used_pct) == ("4.0", "6.0", 40)
    assert way.elsewhen == (("SU2", "9.0"),)
    assert [p.outlet for p in way.plugged] == ["O1"]


def test_first_move_takes_the_biggest_unit_that_another_way_can_take() -> None:
    """The 5 A spot goes to P2 and leaves 4 A on P1."""
    (move,) = [m for m in first_moves(briefed(two_setups(), *day("O1"))) if m.setup == "SU2"]
    assert move.circuit == "P1"
    assert move.text == "spot from O1 to O2 (P2)"
    assert (move.before_a, move.after_a) == ("9.0", "4.0")


def test_first_move_leaves_a_head_off_where_nothing_else_takes_it() -> None:
    """With one way in the house there is nowhere to go, and the line says so."""
    job = small_job(
        circuits=circuits(P1=10.0),
        outlets={"O1": outlet("P1", "lounge")},
        heads={"lamp": amps(9.0)},
    )
    (move,) = first_moves(briefed(job, put("lamp", "O1", place="lounge")))
    assert move.text == "leave lamp at O1 off; no other outlet takes it"
    assert (move.before_a, move.after_a) == ("9.0", "0.0")


def test_no_head_goes_dark_to_make_room_where_ours_is_no_reason_to_trip() -> None:
    """4 A on a breaker of 10 A did not open it: what is not in the plan comes off, not the lamp."""
    job = small_job(circuits=circuits(P1=10.0), outlets={"O1": outlet("P1", "lounge")})
    (move,) = first_moves(briefed(job, put("lamp", "O1", place="lounge")))
    assert move.is_for_room
    assert (move.text, move.amps) == ("nothing of ours can move", "4.0 A")


def test_what_must_stay_on_is_never_left_off() -> None:
    """A pump alone on the only way that takes it comes back first; beside a lamp, the lamp goes."""
    job = small_job(
        circuits=circuits(P1=10.0),
        outlets={"O1": outlet("P1", "lounge")},
        heads={"lamp": amps(6.0)},
        house={"pump": amps(3.0, room="lounge", policy="must stay on")},
        setups=[{"id": "SU1", "heads": {}}, {"id": "SU2", "heads": {"lamp": "lounge"}}],
    )
    alone, beside = first_moves(
        briefed(
            job,
            put("pump", "O1"),
            put("pump", "O1", name="SU2"),
            put("lamp", "O1", name="SU2", place="lounge", socket=2),
        )
    )
    assert alone.text.startswith("pump at O1 must stay on")
    assert (alone.before_a, alone.after_a) == ("3.0", "3.0")
    assert beside.text == "leave lamp at O1 off; no other outlet takes it"


def test_first_moves_are_told_in_the_order_of_the_day_and_the_wall() -> None:
    """The sheet takes moves from data, in whatever order they were worked out."""
    stated = [("SU2", "P2"), ("SU2", "P1"), ("SU1", "P1")]
    moves = tuple(FirstMove(*each, "spot on battery", "9.0", "4.0") for each in stated)
    made = sheet_of(two_setups(), *day("O1"), moves=moves)
    assert [(m.setup, m.circuit) for m in made.first_moves] == stated[::-1]


def test_moves_between_set_ups_are_killed_before_anything_is_lit() -> None:
    """What leaves, what changes outlet and what comes are three steps in that order."""
    job = small_job(
        heads={"lamp": amps(4.0), "spot": amps(3.0), "key": amps(2.0)},
        setups=[
            {"id": "SU1", "heads": {"lamp": "lounge", "spot": "lounge"}},
            {"id": "SU2", "heads": {"lamp": "lounge", "key": "lounge"}},
        ],
    )
    made = sheet_of(
        job,
        put("lamp", "O1", place="lounge"),
        put("spot", "O1", place="lounge", socket=2),
        put("lamp", "O2", name="SU2", place="lounge"),
        put("key", "O1", name="SU2", place="lounge"),
    )
    (change,) = made.moves
    assert change.kill == ("spot at O1",)
    assert change.move == ("lamp O1 → O2 (P2)",)
    assert change.light == ("key at O1",)
    assert change.carry == ()


def test_what_is_carried_while_its_plug_stays_is_a_step_of_its_own() -> None:
    """The lamp stands by the door in the second set-up, and its lead is laid anew."""
    job = small_job(
        places={"sofa": {"room": "lounge"}, "door": {"room": "lounge"}},
        setups=[
            {"id": "SU1", "heads": {"lamp": "sofa"}},
            {"id": "SU2", "heads": {"lamp": "door"}},
        ],
    )
    made = sheet_of(
        job, put("lamp", "O1", place="sofa"), put("lamp", "O1", name="SU2", place="door")
    )
    said = "lamp sofa → door (still on O1)"
    for change in (*made.moves, *made.paper.moves):
        assert change.carry == (said,)
        assert (change.kill, change.move, change.light) == ((), (), ())
    page = sheet_html(made)
    assert page.count(said) == 2
    assert "Nothing moves." not in page
    assert " nothing moves." not in page
