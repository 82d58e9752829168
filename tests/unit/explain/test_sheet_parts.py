"""What a sheet says, part by part, on houses small enough to check by hand."""

from itertools import combinations
from math import dist
from typing import Any

import pytest

from builders import amps, circuit, circuits, outlet, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.explain.answer import check_answer
from spreadload.explain.briefing import Briefing, brief
from spreadload.explain.first_moves import FirstMove, first_moves
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.sheet import Made, Sheet, sheet
from spreadload.explain.sheet.board import main_setup, ways_in_order
from spreadload.explain.sheet.drawing import RING, levels
from spreadload.explain.sheet.hull import hull
from spreadload.explain.sheet.packing import Box, text_size
from spreadload.explain.sheet.possible import WEIGHT_SCALE, possible_wirings
from spreadload.job.job import Job
from spreadload.plan import Placement, Plan
from spreadload.units import whole_metres

MADE = Made("today", "r1", "0123456789abcdef")


def briefed(job: Job, *placements: Placement) -> Briefing:
    """Explain a plan written by hand."""
    facts = Facts.of(job)
    return brief(facts, Judge(facts), Plan(placements=placements))


def sheet_of(job: Job, *placements: Placement, moves: tuple[FirstMove, ...] = ()) -> Sheet:
    """Return the sheet of a plan written by hand."""
    told = briefed(job, *placements)
    answer = check_answer(told.judged.facts, told.judged.plan, told.judged.verdict)
    return sheet(told, answer, MADE, first_moves=moves)


def put(load: str, point: str, setup: str = "SU1", **more: Any) -> Placement:  # noqa: ANN401
    """Place one unit."""
    return Placement(setup=setup, load=load, unit=more.pop("unit", 1), point=point, **more)


def judged_of(job: Job, *placements: Placement) -> JudgedPlan:
    """Judge a plan written by hand, the empty one if nothing is placed."""
    facts = Facts.of(job)
    return JudgedPlan.of(facts, Judge(facts), Plan(placements=placements))


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


def two_setups() -> Job:
    """A lamp of 4 A by day, and it with a 5 A one by night."""
    return small_job(
        heads={"lamp": amps(4.0), "spot": amps(5.0)},
        setups=[
            {"id": "SU1", "heads": {"lamp": "lounge"}},
            {"id": "SU2", "heads": {"lamp": "lounge", "spot": "lounge"}},
        ],
    )


def day(second: str) -> tuple[Placement, ...]:
    """Place the lamp at O1 all day and the spot at a given outlet."""
    return (
        put("lamp", "O1", place="lounge"),
        put("lamp", "O1", "SU2", place="lounge"),
        put("spot", second, "SU2", place="lounge", socket=2 if second == "O1" else 1),
    )


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
    job = small_job(circuits=circuits(P1=10.0), outlets={"O1": outlet("P1", "lounge")})
    (move,) = first_moves(briefed(job, put("lamp", "O1", place="lounge")))
    assert move.text == "leave lamp at O1 off; no other outlet takes it"
    assert (move.before_a, move.after_a) == ("4.0", "0.0")


def test_what_must_stay_on_is_never_left_off() -> None:
    """A pump alone on the only way that takes it comes back first; beside a lamp, the lamp goes."""
    job = small_job(
        circuits=circuits(P1=10.0),
        outlets={"O1": outlet("P1", "lounge")},
        house={"pump": amps(3.0, room="lounge", policy="must stay on")},
        setups=[{"id": "SU1", "heads": {}}, {"id": "SU2", "heads": {"lamp": "lounge"}}],
    )
    alone, beside = first_moves(
        briefed(
            job,
            put("pump", "O1"),
            put("pump", "O1", "SU2"),
            put("lamp", "O1", "SU2", place="lounge", socket=2),
        )
    )
    assert alone.text.startswith("pump at O1 must stay on")
    assert (alone.before_a, alone.after_a) == ("3.0", "3.0")
    assert beside.text == "leave lamp at O1 off; no other outlet takes it"


def test_a_move_prepared_elsewhere_goes_before_ours() -> None:
    """The sheet takes moves from data: same set-up and way, another text."""
    own = FirstMove("SU2", "P1", "spot on battery", "9.0", "4.0")
    made = sheet_of(two_setups(), *day("O1"), moves=(own,))
    told = {(m.setup, m.circuit): m.text for m in made.first_moves}
    assert told["SU2", "P1"] == "spot on battery"
    assert ("SU1", "P1") in told


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
        put("lamp", "O2", "SU2", place="lounge"),
        put("key", "O1", "SU2", place="lounge"),
    )
    (change,) = made.moves
    assert change.kill == ("spot at O1",)
    assert change.move == ("lamp O1 → O2 (P2)",)
    assert change.light == ("key at O1",)


def test_hull_keeps_the_outer_corners_only() -> None:
    """A point inside a square is no corner; two points stay a line, one a point."""
    square = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]
    assert set(hull([*square, (2.0, 2.0), (2.0, 0.0)])) == set(square)
    assert hull([(1.0, 1.0), (0.0, 0.0)]) == ((0.0, 0.0), (1.0, 1.0))
    assert hull([(1.0, 1.0), (1.0, 1.0)]) == ((1.0, 1.0),)


def test_an_outlet_says_on_the_map_how_its_circuit_is_known() -> None:
    """Solid tested, dashed told, dotted guessed; unknown ones are dotted and have no pattern."""
    job = small_job(
        outlets={
            "T": outlet("P1", "lounge", at=[0.0, 0.0]),
            "D": outlet("P1", "lounge", at=[2.0, 0.0], known="told"),
            "G": outlet("P2", "lounge", at=[4.0, 0.0], known="guessed"),
            "N": outlet(None, "lounge", at=[6.0, 0.0]),
            "X": outlet("P2", "lounge", at=[8.0, 0.0], use="off limits"),
            "L": outlet("P2", "lounge", at=[8.0, 3.0], use="last resort"),
        }
    )
    (level,) = levels(judged_of(job), job)
    marks = {mark.id: mark for mark in level.outlets}
    assert {i: m.how for i, m in marks.items() if i in "TDGN"} == {
        "T": "solid", "D": "dashed", "G": "dotted", "N": "dotted",
    }  # fmt: skip
    assert marks["T"].mark == marks["D"].mark != marks["G"].mark
    assert marks["N"].mark == -1
    assert marks["X"].is_off_limits
    assert marks["L"].is_last_resort
    assert not marks["T"].is_last_resort
    assert marks["L"].at_m == (8.0, -3.0)


def test_what_nobody_measured_is_set_out_apart_and_said_so() -> None:
    """Outlets without a position never lie on each other or on measured ones."""
    loose = {f"U{n}": outlet("P1", "bed") for n in range(15)}
    job = small_job(outlets={"M": outlet("P1", "lounge", at=[0.0, 0.0])} | loose)
    (level,) = levels(judged_of(job), job)
    spots = {(m.x, m.y) for m in level.outlets}
    assert len(spots) == 16
    assert set(level.unmeasured) == set(loose)
    inside = [
        level.left <= x <= level.left + level.width and level.top <= y <= level.top + level.height
        for x, y in spots
    ]
    assert all(inside)


def test_outlets_on_one_spot_are_drawn_apart() -> None:
    """Two outlets of a room whose middle alone is known can both be read."""
    job = small_job(
        rooms={"lounge": {"use": "living", "at": [1.0, 1.0]}, "bed": {"use": "bedroom"}},
        outlets={"A": outlet("P1", "lounge"), "B": outlet("P2", "lounge")},
    )
    (level,) = levels(judged_of(job), job)
    first, second = level.outlets
    assert dist((first.x, first.y), (second.x, second.y)) >= 2 * RING
    assert first.leader is None
    assert second.leader is not None


def test_each_floor_is_a_level_of_its_own() -> None:
    """Upstairs is not drawn on the ground floor."""
    rooms = {"lounge": {"use": "living"}, "bed": {"use": "bedroom", "floor": "1"}}
    outlets = {
        "A": outlet("P1", "lounge", at=[0.0, 0.0]),
        "B": outlet("P2", "bed", at=[0.0, 0.0]),
    }
    job = small_job(rooms=rooms, outlets=outlets)
    assert [[m.id for m in lv.outlets] for lv in levels(judged_of(job), job)] == [["A"], ["B"]]


def test_known_wiring_is_one_map_with_all_the_weight() -> None:
    """A house without doubts has a single wiring."""
    told = possible_wirings(Facts.of(small_job()))
    assert told["maps"] == [[WEIGHT_SCALE, 0, 1]]
    assert told["exact"]


def test_open_wiring_lists_every_map_of_a_small_house() -> None:
    """One unknown outlet between two ways makes two maps that weigh one in all."""
    job = small_job(outlets={"O1": outlet("P1", "lounge"), "O2": outlet(None, "bed")})
    told = possible_wirings(Facts.of(job))
    assert {tuple(each[1:]) for each in told["maps"]} == {(0, 0), (0, 1)}
    assert sum(each[0] for each in told["maps"]) == pytest.approx(WEIGHT_SCALE, abs=2)
    assert told["allowed"]["O2"] == ["P1", "P2"]
    assert told["kept_pct"] == 100


def test_lists_hold_what_the_truck_needs() -> None:
    """Leads with a spare, loads with the source of their amps, labels numbered in print order."""
    job = small_job(
        heads={"lamp": amps(4.0, cord_m=1.0)},
        leads=[{"length_m": 20.0, "size_mm2": 1.5, "count": 3}],
        departments={"iron": amps(2.0, by="costume", room="bed")},
    )
    made = sheet_of(job, put("lamp", "O1", place="lounge", lead=0))
    lists = {table.name: table for table in made.tables}
    assert list(lists) == [
        "pull-list", "load-schedule", "department-sheets", "tape-labels", "test-record",
        "trip-log", "return-sheet",
    ]  # fmt: skip
    lead = lists["pull-list"].rows[0]
    assert lead[:7] == ("lead", "1.5 mm²", "au-10", "20 m", "1", "1", "3")
    assert lead[7] == "SU1 O1, lounge"
    loads = {row[0]: row for row in lists["load-schedule"].rows}
    assert loads["lamp"][4] == "4.0"
    assert loads["lamp"][7].startswith("measured")
    assert lists["department-sheets"].rows[0][:2] == ("costume", "iron")
    labels = lists["tape-labels"].rows
    assert [row[0] for row in labels] == [str(n) for n in range(1, len(labels) + 1)]
    assert ("outlet", "O1 · P1", "LIGHTING ONLY") in {row[1:] for row in labels}
    assert ("lead, plug end", "O1", "lamp, lounge · SU1") in {row[1:] for row in labels}
    for table in made.tables:
        assert all(len(row) == len(table.columns) for row in table.rows), table.name


def test_spares_never_exceed_the_stock() -> None:
    """With the last lead in use there is no spare to promise."""
    job = small_job(
        heads={"lamp": amps(4.0, cord_m=1.0)}, leads=[{"length_m": 20.0, "size_mm2": 1.5}]
    )
    (pull, *_) = sheet_of(job, put("lamp", "O1", place="lounge", lead=0)).tables
    assert pull.rows[0][4:7] == ("1", "0", "1")


def test_a_plan_that_names_what_there_is_not_still_makes_a_sheet() -> None:
    """Leads and boards by numbers that do not exist are shown as faults, never a crash."""
    made = sheet_of(
        small_job(leads=[{"length_m": 20.0, "size_mm2": 1.5}]),
        put("lamp", "O1", place="lounge", lead=7, board=-1, board_lead=9),
        put("ghost", "O2"),
        put("lamp", "nowhere", "SU9"),
    )
    assert made.says == "breaks"
    assert made.breaks


def crowded_house() -> Job:
    """Return a job with outlets and places on each other's spots and long names."""
    spots = [[0.3 * (n % 4), 0.3 * (n // 4)] for n in range(16)]
    places = {f"place number {n} by the wide window": {"at": spots[n]} for n in range(6)}
    return small_job(
        rooms={"lounge": {"use": "living", "name": "lounge with a name that is far too long"}},
        outlets={f"O{n}": outlet("P1", "lounge", at=at) for n, at in enumerate(spots)},
        places=places,
        heads={"lamp": amps(0.2, cord_m=9.0)},
        setups=[{"id": "SU1", "heads": {"lamp": dict.fromkeys(places, 1)}}],
    )


def crowded_level() -> Any:  # noqa: ANN401 - a level
    """Return the map of the crowded house with a lamp from an outlet to each place."""
    job = crowded_house()
    plan = [put("lamp", f"O{n}", unit=n + 1, place=place) for n, place in enumerate(job.places)]
    (level,) = levels(judged_of(job, *plan), job)
    return level


def text_boxes(level: Any) -> list[Box]:  # noqa: ANN401 - a level
    """Return the room every label on the map takes at most."""
    sized = [(room.text, 13.0) for room in level.rooms]
    sized += [(text, 12.0) for text in (*level.texts, *level.days[0].texts)]
    found = []
    for text, letter in sized:
        width, height = text_size(text.lines, letter)
        found.append(Box(text.x - width / 2, text.top, text.x + width / 2, text.top + height))
    return found


def test_no_label_lies_on_another_or_on_a_mark_however_crowded() -> None:
    """Sixteen outlets within a metre and long names: all apart, each with a line to its spot."""
    level = crowded_level()
    rings = [Box.around((m.x, m.y), 2 * RING, 2 * RING) for m in level.outlets]
    every = [*rings, *text_boxes(level)]
    assert len(level.days[0].texts) == 6
    assert not [(a, b) for a, b in combinations(every, 2) if a.meets(b)]
    moved = [m for m in level.outlets if m.leader]
    assert all(m.leader[1] == (m.x, m.y) for m in moved)
    assert len(moved) >= 12


def test_everything_on_a_map_is_inside_its_frame() -> None:
    """Labels that moved out make the frame larger; nothing is cut off."""
    level = crowded_level()
    right, bottom = level.left + level.width, level.top + level.height
    frame = Box(level.left, level.top, right, bottom)
    for box in text_boxes(level):
        assert frame.holds((box.left, box.top))
        assert frame.holds((box.right, box.bottom))


def test_a_place_says_how_far_each_lead_comes() -> None:
    """The label of a place names the outlet and the whole metres of the way, rounded up."""
    job = small_job(
        outlets={"O1": outlet("P1", "lounge", at=[0.0, 0.0])},
        places={"sofa": {"at": [3.1, 0.0]}},
        heads={"lamp": amps(1.0, cord_m=20.0)},
        setups=[{"id": "SU1", "heads": {"lamp": "sofa"}}],
    )
    judged = judged_of(job, put("lamp", "O1", place="sofa"))
    (level,) = levels(judged, job)
    whole = whole_metres(judged.facts.route_m("sofa", judged.facts.points["O1"]))
    (text,) = level.days[0].texts
    assert text.lines == ("sofa", f"{whole} m from O1")


def test_paper_tells_units_at_one_outlet_once_and_the_outlet_first() -> None:
    """Two lamps at one outlet are one entry with their amps together."""
    job = small_job(
        heads={"lamp": amps(2.0)}, setups=[{"id": "SU1", "heads": {"lamp": {"lounge": 2}}}]
    )
    lamps = [put("lamp", "O1", unit=n, place="lounge", socket=n) for n in (1, 2)]
    (way,) = sheet_of(job, *lamps).paper.ways
    (only,) = way.outlets
    assert only.outlet == "O1"
    assert only.bundles[0].items == (("lamp #1-2", "4.0"),)


def test_paper_gives_other_set_ups_a_column_each_while_there_is_room() -> None:
    """Two set-ups make one column; six are told in words."""
    paper = sheet_of(two_setups(), *day("O1")).paper
    assert paper.others == ("SU1",)
    assert [way.elsewhen for way in paper.ways] == [("4.0",)]
    many = [{"id": f"SU{n}", "heads": {"lamp": "lounge"}} for n in range(6)]
    placed = [put("lamp", "O1", f"SU{n}", place="lounge") for n in range(6)]
    paper = sheet_of(small_job(setups=many), *placed).paper
    assert paper.others == ()
    assert paper.ways[0].elsewhen_words.startswith("SU1 4.0, ")


def test_paper_names_what_leaves_no_light_first() -> None:
    """With all heads on one way, losing it leaves none, and the line says so."""
    paper = sheet_of(two_setups(), *day("O1")).paper
    assert paper.staying[0].startswith("SU1: NO LIGHT if P1")
    apart = sheet_of(two_setups(), *day("O2")).paper
    assert apart.staying[1].endswith("goes, the worst, spot stays on")


def test_paper_tells_moves_outlet_by_outlet() -> None:
    """What goes and comes is named with its outlet first, what moves with both."""
    (change,) = sheet_of(two_setups(), *day("O2")).paper.moves
    assert (change.kill, change.move, change.light) == ((), (), ("O2 spot",))


def test_paper_says_many_assumptions_of_one_kind_in_one_line() -> None:
    """Five loads whose plug nobody stated are a count; one is told in full."""
    heads = {f"lamp{n}": amps(0.5) for n in range(5)}
    job = small_job(heads=heads, setups=[{"id": "SU1", "heads": dict.fromkeys(heads, "lounge")}])
    placed = [put(head, "O1", place="lounge", socket=n) for n, head in enumerate(heads, start=1)]
    told = sheet_of(job, *placed).paper.unproven
    assert "plug: taken to be the ordinary one on 5 loads" in told
    alone = sheet_of(small_job(), put("lamp", "O1", place="lounge")).paper.unproven
    assert "plug: taken to be au-10 on lamp" in alone


def test_ways_that_carry_the_same_wired_load_all_day_share_one_line_on_paper() -> None:
    """Nothing there can be moved; a way whose load changes over the day keeps its own row."""
    day = [{"id": "SU1", "heads": {}, "on": ["boiler"]}, {"id": "SU2", "heads": {}}]

    def of(policy: str) -> Sheet:
        job = small_job(
            circuits=circuits(P1=10.0, P2=10.0) | {"HW": circuit(20.0, feeds="water")},
            house={"boiler": amps(8.0, circuit="HW", policy=policy)},
            heads={},
            setups=day,
        )
        return sheet_of(job)

    assert of("must stay on").paper.wired == "HW 20 A: boiler 8.0, left 12.0"
    assert of("must stay on").paper.ways == ()
    assert of("may be off").paper.wired == ""
    assert [each.way.id for each in of("may be off").paper.ways] == ["HW"]


def test_a_lead_to_another_level_is_told_at_both_its_ends() -> None:
    """Beside the outlet how far up to where, beside the place from which outlet below."""
    job = small_job(
        rooms={"lounge": {"use": "living"}, "bed": {"use": "bedroom", "floor": "1"}},
        outlets={
            "O1": outlet("P1", "lounge", at=[0, 0]),
            "O2": outlet("P2", "bed", at=[4, 0]),
        },
        places={
            "landing": {"at": [2, 3], "floor": "1"},
            "roof": {"at": [2, 3], "floor": "2"},
            "cellar": {"at": [0, 0], "floor": "B"},
        },
        heads={"lamp": amps(1.0, count=3)},
        leads=[{"length_m": 30.0, "count": 3}],
        setups=[{"id": "SU1", "heads": {"lamp": ["landing", "landing", "roof"]}}],
    )
    placed = (
        put("lamp", "O1", place="landing", lead=0),
        put("lamp", "O2", place="landing", lead=0, unit=2),
        put("lamp", "O2", place="roof", lead=0, unit=3, socket=2),
    )
    drawn = {level.name: level for level in levels(judged_of(job, *placed), job)}
    assert list(drawn) == ["G", "1", "2"]
    labels = {name: [text.lines for text in level.days[0].texts] for name, level in drawn.items()}
    up_a, from_o1, from_o2, up_b, from_roof = (
        line
        for name in labels
        for lines in labels[name]
        for line in (lines[1:] if lines[0] in job.places else lines)
    )
    assert up_a.endswith(" m up to landing")
    assert from_o1.endswith(" m from O1 below")
    assert from_o2.endswith(" m from O2")
    assert up_b.endswith(" m up to roof")
    assert from_roof.endswith(" m from O2 below")
