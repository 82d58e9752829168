"""The power plan in the few words that paper has room for."""

from builders import amps, circuit, circuits, plan_of, put, small_job
from sheets import day, sheet_of, two_setups
from spreadload.app.sheet import sheet_of as sheet_file_of
from spreadload.explain.first_moves import FirstMove
from spreadload.explain.sheet import Sheet
from spreadload.report.sheet import sheet_html


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
    placed = [put("lamp", "O1", name=f"SU{n}", place="lounge") for n in range(6)]
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


def test_a_way_that_only_likely_carries_something_has_its_move_beside_what_is_not_known() -> None:
    """P2 has no sum of its own on paper, yet somebody has to know what goes when it drops."""
    job = small_job(
        circuits=circuits(P1=10.0, P2=10.0),
        outlets={
            "O1": {"room": "lounge", "sockets": 2, "circuit": "P1", "known": "tested"},
            "O2": {"room": "bed", "sockets": 2},
        },
        heads={"lamp": amps(4.0), "spot": amps(3.0)},
        setups=[{"id": "SU1", "heads": {"lamp": "lounge", "spot": "bed"}}],
    )
    plan = plan_of(put("lamp", "O1", place="lounge"), put("spot", "O2", place="bed"))
    held = sheet_file_of(job, plan).sheet
    assert held is not None
    beside = {way.id: way.first_move for each in held.paper.unsure for way in each.likely}
    alone = {each.way.id: each.way.first_move for each in held.paper.ways}
    assert {*beside, *alone} == {"P1", "P2"}
    for move in beside.values():
        assert move is not None
        assert move.is_likely
        assert move.amps.startswith("likely ")


def test_paper_marks_what_has_to_move_with_a_sign_and_not_by_slant() -> None:
    """9 of 10 A have to come down and 3 of 10 A need not: a photocopy shows no italics."""
    moves = (
        FirstMove("SU1", "P1", "lamp to O3", "9.0", "5.0"),
        FirstMove("SU1", "P2", "spot to O3", "3.0", "0.0", is_for_room=True),
        FirstMove("SU1", "P3", "pump back first", "3.0", "3.0"),
    )
    ways = {f"P{n}": circuit(10.0) for n in (1, 2, 3)}
    outlets = {
        f"O{n}": {"room": "lounge", "sockets": 2, "circuit": f"P{n}", "known": "tested"}
        for n in (1, 2, 3)
    }
    job = small_job(
        circuits=ways,
        outlets=outlets,
        heads={"lamp": amps(3.0, count=3)},
        setups=[{"id": "SU1", "heads": {"lamp": {"lounge": 3}}}],
    )
    lit = [put("lamp", f"O{n}", unit=n, place="lounge") for n in (1, 2, 3)]
    page = sheet_html(sheet_of(job, *lit, moves=moves))
    assert "if it trips (<b>!</b> must; else for room)" in page
    assert "<b>!</b> lamp to O3" in page
    assert "<b>!</b> spot to O3" not in page
    assert "<b>!</b> pump back first" not in page
    assert "if it trips, for room only" in sheet_html(sheet_of(job, *lit, moves=moves[1:]))
