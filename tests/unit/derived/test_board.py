"""What a way of the switchboard feeds."""

import pytest

from builders import circuit, outlet, small_job
from spreadload.derived.board import read_way
from spreadload.derived.facts import Facts
from spreadload.job.site import Feeds


def reading(label: str, rating_a: float = 20.0, region: str = "AU") -> Feeds:
    """Return what a way with a label and a rating reads as."""
    way = {"label": label, "breaker_a": rating_a}
    job = small_job(
        region=region,
        circuits={"P1": circuit(10.0), "X": way},
        outlets={"O1": outlet("P1", "lounge")},
    )
    return read_way(job, "X").feeds


@pytest.mark.parametrize(
    ("label", "feeds"),
    [
        ("GPO 1", Feeds.OUTLETS),
        ("PLUGS / KIT", Feeds.OUTLETS),
        ("LIGHTS DN", Feeds.LIGHTING),
        ("OVEN", Feeds.COOKING),
        ("HWS (controlled load)", Feeds.WATER),
        ("HEAT PUMP", Feeds.AIR),
        ("A/C", Feeds.AIR),
    ],
)
def test_labels_read_as_crews_read_them(label: str, feeds: Feeds) -> None:
    """Words on the board decide when nobody stated anything.

    Source: common practice, no source.
    """
    assert reading(label) is feeds


def test_a_statement_beats_the_label() -> None:
    """A stated use wins, and so does an outlet known to be on the way."""
    job = small_job(
        circuits={"P1": circuit(10.0), "X": {"label": "LIGHTS", "breaker_a": 10.0}},
        outlets={"O1": outlet("X", "lounge"), "O2": outlet("P1", "bed")},
    )
    assert read_way(job, "X").feeds is Feeds.OUTLETS
    assert read_way(job, "X").certainty == 1.0


def test_ways_of_which_nothing_is_known_feed_the_outlets_that_nothing_else_could() -> None:
    """A board of two blank ways and an outlet list: one of the two it must be; not sure, though.

    Source: common practice, no source.
    """
    blank = small_job(
        circuits={"P1": {}, "P2": {}, "L": {"label": "LIGHTS"}},
        outlets={"O1": outlet(None, "lounge")},
    )
    assert [read_way(blank, name).feeds for name in ("P1", "P2", "L")] == [
        Feeds.OUTLETS,
        Feeds.OUTLETS,
        Feeds.LIGHTING,
    ]
    assert read_way(blank, "P1").certainty < 1
    other = small_job(
        circuits={"P1": {}, "P2": circuit(20.0)},
        outlets={"O1": outlet(None, "lounge")},
    )
    assert read_way(other, "P1").feeds is Feeds.OTHER


@pytest.mark.parametrize(
    ("label", "load", "feeds"),
    [
        # No word that the board knows: the way is the load's.
        ("Glasswasher", {"what": "glasswasher"}, Feeds.OTHER),
        # A room by its word, and all of it is the name of what is wired there.
        ("Cellar cooling", {"what": "cellar cooling unit"}, Feeds.OTHER),
        ("HOT WATER", {"what": "hot water"}, Feeds.WATER),
        # A label that says more keeps its meaning.
        ("KITCHEN", {"what": "waste disposer"}, Feeds.OUTLETS),
        ("GPO 2", {"what": "pump"}, Feeds.OUTLETS),
    ],
)
def test_a_way_is_its_loads_own_where_the_label_says_nothing_more(
    label: str, load: dict[str, str], feeds: Feeds
) -> None:
    """No outlet that nobody traced is thought to be on the way of a glasswasher.

    Source: common practice, no source.
    """
    job = small_job(
        circuits={"P1": circuit(20.0), "X": {"label": label, "breaker_a": 20.0}},
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet(None, "bed")},
        house={"wired": {"plate_w": 1500, "circuit": "X"} | load},
    )
    assert read_way(job, "X").feeds is feeds
    is_possible = "X" in Facts.of(job).points["O2"].exposure.might_be_on
    assert is_possible is (feeds is Feeds.OUTLETS)
