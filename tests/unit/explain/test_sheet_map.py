"""The map on a sheet: marks, rooms, levels and labels, none lying on another."""

from itertools import combinations
from math import dist
from typing import Any

from builders import amps, outlet, put, small_job
from sheets import judged_of
from spreadload.explain.sheet.drawing import RING, levels
from spreadload.explain.sheet.hull import hull
from spreadload.explain.sheet.packing import Box, text_size
from spreadload.job.job import Job
from spreadload.units import whole_metres


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
