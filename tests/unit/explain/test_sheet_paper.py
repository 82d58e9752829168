"""The power plan in the few words that paper has room for."""

from builders import amps, circuit, circuits, put, small_job
from sheets import day, sheet_of, two_setups
from spreadload.explain.sheet import Sheet


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
