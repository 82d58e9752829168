"""Reading a switchboard: what decides, what speaks against it, and what is usable in all."""

import pytest

from builders import amps, circuit, circuits, outlet, setup, small_job
from spreadload.app.board import read_board
from spreadload.derived.board import BoardReading, hinted_rating_a, read_way, unplaced_appliances
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.site import Feeds
from spreadload.wiring.usable import CIRCUITS, FEEDS, MAIN, usable


def job_with(region: str = "AU", house: object = None, **way: object) -> Job:
    """Return a house with one known power circuit and one way X to be read."""
    circuits = {"P1": circuit(16.0), "X": {"label": ""} | way}
    outlets = {"O1": outlet("P1", "lounge")}
    return small_job(region=region, circuits=circuits, outlets=outlets, house=house or {})


def read(region: str = "AU", **way: object) -> BoardReading:
    """Return the reading of way X."""
    return read_way(job_with(region, **way), "X")


@pytest.mark.parametrize(
    ("region", "breaker_a", "feeds"),
    [
        ("AU", 20.0, Feeds.OUTLETS),
        ("AU", 32.0, Feeds.COOKING),
        ("AU", 10.0, Feeds.LIGHTING),
        ("UK", 32.0, Feeds.OUTLETS),
        ("UK", 6.0, Feeds.LIGHTING),
        ("US", 20.0, Feeds.OUTLETS),
        ("US", 50.0, Feeds.COOKING),
        ("AU", 77.0, Feeds.OTHER),
    ],
)
def test_a_rating_means_what_it_means_in_its_region(
    region: str, breaker_a: float, feeds: Feeds
) -> None:
    """Without a label the region's usual ratings decide: 32 A is a ring in the UK, a cooker in AU.

    Source: BS 7671 433.1.204 for the 32 A ring; the other ratings are regional practice.
    """
    reading = read(region, breaker_a=breaker_a)
    assert reading.feeds is feeds
    assert reading.certainty < 0.7
    assert f"{breaker_a:g} A" in reading.reason


def test_statement_beats_outlet_beats_label_beats_rating() -> None:
    """Each source of knowledge wins over the weaker ones."""
    assert read(feeds="air", label="GPO", breaker_a=20.0).certainty == 1.0
    assert read(feeds="air", label="GPO", breaker_a=20.0).feeds is Feeds.AIR
    label = read(label="OVEN", breaker_a=20.0)
    assert (label.feeds, label.certainty > 0.9) == (Feeds.COOKING, True)
    job = job_with(label="OVEN", breaker_a=32.0)
    on_it = job.model_copy(
        update={
            "outlets": job.outlets | {"O2": job.outlets["O1"].model_copy(update={"circuit": "X"})}
        }
    )
    assert read_way(on_it, "X").feeds is Feeds.OUTLETS


@pytest.mark.parametrize("label", ["FRYER", "griddle 1", "Salamander", "BAIN MARIE"])
def test_a_caterers_kitchen_is_cooking_too(label: str) -> None:
    """A 32 A way of a pub kitchen is no ring for the crew; common practice, no source."""
    assert read("UK", label=label, breaker_a=32.0).feeds is Feeds.COOKING


def test_a_guessed_outlet_is_no_proof_of_a_power_circuit() -> None:
    """An outlet merely guessed to be on a way leaves doubt about the way."""
    job = job_with(label="", breaker_a=20.0)
    guess = outlet("X", "lounge") | {"known": "guessed"}
    guessed = small_job(
        circuits={"P1": circuit(16.0), "X": {"breaker_a": 20.0}},
        outlets={"O1": outlet("P1", "lounge"), "O2": guess},
    )
    assert read_way(guessed, "X").certainty < 1.0
    assert read_way(job, "P1").certainty == 1.0


def test_a_power_label_on_an_odd_rating_is_doubted() -> None:
    """“POWER” on 32 A in Australia is less sure than on 20 A, and the reason says so."""
    usual, odd = read(label="POWER", breaker_a=20.0), read(label="POWER", breaker_a=32.0)
    assert odd.certainty < usual.certainty
    assert "32 A is not usual for outlets here" in odd.reason
    assert "may still be a single outlet" in usual.reason


def test_curve_d_speaks_for_a_motor() -> None:
    """A motor's curve lowers the belief that outlets hang on a way."""
    assert (
        read(label="POWER", breaker_a=20.0, curve="D").certainty
        < read(label="POWER", breaker_a=20.0).certainty
    )


def test_an_oven_without_a_breaker_uses_up_a_power_breaker() -> None:
    """A dishwasher and an oven seen make plain power ways doubtful; a label ends that."""
    seen = {"dishwasher": amps(8.0), "oven": amps(14.0)}
    job = job_with(house=seen, label="POWER", breaker_a=20.0)
    assert unplaced_appliances(job) == ("dishwasher", "oven")
    reading = read_way(job, "X")
    assert reading.certainty < 0.5
    assert "dishwasher or the oven" in reading.reason
    labelled = small_job(
        circuits={
            "P1": circuit(16.0),
            "X": {"label": "POWER", "breaker_a": 20.0},
            "OV": {"label": "OVEN", "breaker_a": 20.0},
        },
        outlets={"O1": outlet("P1", "lounge")},
        house={"oven": amps(14.0)},
    )
    assert unplaced_appliances(labelled) == ()


@pytest.mark.parametrize(
    ("region", "way", "hint_a"),
    [
        ("AU", {"toggle_colour": "yellow"}, 20.0),
        ("AU", {"toggle_colour": "Blue"}, 16.0),
        ("AU", {"toggle_colour": "blue", "breaker_a": 20.0}, None),
        ("AU", {"toggle_colour": "black"}, None),
        ("UK", {"toggle_colour": "blue"}, None),
    ],
)
def test_colour_only_hints_where_no_number_was_read(
    region: str, way: dict[str, object], hint_a: float | None
) -> None:
    """Blue 16 A and yellow 20 A in Australia (common practice, no source), never over a number."""
    job = job_with(region, **way)
    assert hinted_rating_a(region, job.circuits["X"]) == hint_a


def test_usable_is_circuits_or_main_less_the_house() -> None:
    """Two 10 A circuits behind 63 A: the circuits; behind 30 A with a 15 A boiler: the main."""
    found = usable(Facts.of(small_job()))
    assert (found.usable_a, found.binds) == (20.0, CIRCUITS)
    boiler = amps(15.0) | {"circuit": "HW", "policy": "must stay on"}
    tight = small_job(
        supply={"limit_a": 30.0, "planning_v": 230.0},
        circuits={
            "P1": circuit(10.0),
            "P2": circuit(10.0),
            "HW": {"label": "HOT WATER", "breaker_a": 20.0, "feeds": "water"},
        },
        house={"boiler": boiler},
    )
    found = usable(Facts.of(tight))
    assert found.usable_a == pytest.approx(15.0)
    assert found.binds == MAIN
    assert found.phases[0].house_a == pytest.approx(15.0)


def test_a_three_phase_main_counts_once_per_phase() -> None:
    """Three phases of 20 A: 20 from L1 by the main, 10 from L2 by its circuit, none from L3."""
    job = small_job(
        supply={"system": "three-phase", "limit_a": 20.0, "limit_source": "test"},
        circuits={
            "P1": circuit(16.0, phase="L1"),
            "P2": circuit(16.0, phase="L1"),
            "P3": circuit(10.0, phase="L2"),
        },
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2"), "O3": outlet("P3")},
    )
    found = usable(Facts.of(job))
    assert [p.usable_a for p in found.phases] == [20.0, 10.0, 0.0]
    assert [p.binds for p in found.phases] == [MAIN, CIRCUITS, CIRCUITS]


def test_a_contract_may_bind_before_main_and_circuits() -> None:
    """Where supply is by contract its watts cap everything together."""
    job = small_job(supply={"limit_a": 63.0, "contract_w": 2300.0, "planning_v": 230.0})
    found = usable(Facts.of(job))
    assert found.binds == "supply contract"
    assert found.usable_a == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("feed_a", "fed_from", "usable_a"),
    [
        # By hand: 10 A at the main board, and of twice 16 A in the shed what its feed passes on.
        (20.0, None, 30.0),
        (40.0, None, 42.0),
        # Behind a second feed of 12 A no more than that comes through.
        (20.0, "YARD", 22.0),
    ],
)
def test_a_sub_board_gives_no_more_than_its_feed(
    feed_a: float, fed_from: str | None, usable_a: float
) -> None:
    """Kirchhoff's first law: what the ways of a sub-board give together flows through its feed."""
    shed = circuits(S1=16.0, S2=16.0)
    boards = {"SHED": {"feed_a": feed_a, "fed_from": fed_from}, "YARD": {"feed_a": 12.0}}
    job = small_job(
        circuits=circuits(P1=10.0) | {k: v | {"sub_board": "SHED"} for k, v in shed.items()},
        sub_boards=boards,
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("S1"), "O3": outlet("S2")},
    )
    assert usable(Facts.of(job)).usable_a == usable_a


def test_what_the_house_takes_behind_a_feed_is_taken_off_what_that_feed_gives() -> None:
    """A cold store of 9 A on the yard's board leaves 32 - 9 A of its feed, before noon.

    By Kirchhoff's first law at each board: the shed, behind the yard, gives the least of its two
    ways of 16 A, its feed of 25 A and what the cold store leaves of the yard's; the house 10.
    """
    behind = {k: v | {"sub_board": "SHED"} for k, v in circuits(S1=16.0, S2=16.0).items()}
    cold = {"label": "COLD STORE", "breaker_a": 16.0, "feeds": "other", "sub_board": "YARD"}
    job = small_job(
        circuits=circuits(P1=10.0) | behind | {"CS": cold},
        sub_boards={"SHED": {"feed_a": 25.0, "fed_from": "YARD"}, "YARD": {"feed_a": 32.0}},
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("S1"), "O3": outlet("S2")},
        house={"store": amps(9.0, circuit="CS", policy="may be off")},
        setups=[setup("A", lamp="lounge", on=["store"]), setup("B", lamp="lounge")],
    )
    found = usable(Facts.of(job))
    assert (found.usable_a, found.binds, found.least_in) == (33.0, FEEDS, ("A",))
    assert (found.else_a, found.phases[0].house_in) == (35.0, ("A",))


def test_what_the_house_takes_in_one_set_up_is_told_of_that_one() -> None:
    """A shower of 25 A behind a fuse of 30 A leaves 5 A while it runs, and the circuits else."""
    job = small_job(
        supply={"limit_a": 30.0, "limit_source": "cut-out", "planning_v": 230.0},
        circuits={"P1": circuit(10.0), "P2": circuit(10.0)}
        | {"SH": {"label": "SHOWER", "breaker_a": 40.0, "feeds": "water"}},
        house={"shower": amps(25.0, circuit="SH", policy="may be off")},
        setups=[setup("A", lamp="lounge"), setup("B", lamp="lounge", on=["shower"]), setup("C")],
    )
    found = usable(Facts.of(job))
    assert (found.usable_a, found.least_in, found.else_a) == (5.0, ("B",), 20.0)
    assert found.phases[0].house_in == ("B",)
    first, *lines = read_board(job).text().splitlines()
    assert first == "USABLE: 5.0 A in B, 20.0 A or more in the rest of the day; bound by the main"
    assert "less 25.0 A of the house in B: the main binds" in " ".join(map(str.strip, lines))


def test_text_and_data_say_the_same() -> None:
    """The first line and the data give one total, and every way is told with its reason."""
    told = read_board(small_job())
    text, data = told.text(), told.data()
    assert text.startswith("USABLE: 20.0 A; bound by the power circuits")
    assert data["usable_a"] == 20.0
    assert {w["circuit"] for w in data["ways"]} == {"P1", "P2"}
    assert all(w["reason"] in text for w in data["ways"])
