"""What was agreed to stay on is named before anybody walks to the board."""

import pytest

from builders import Entry, amps, circuit, circuits, outlet, put, setup, small_job
from spreadload.job.job import Job
from spreadload.on_the_day.trip.lines import radio_line
from spreadload.report.style import Style
from spreadload.report.trip_data import trip_data
from spreadload.report.trip_text import trip_text
from trips import told

LAMP, OXYGEN = put("lamp", "O1", place="lounge"), put("oxygen", "O1", socket=2)

STAYS_AT_O1: Entry = {"outlet": "O1", "policy": "must stay on"}


def house(policy: str = "must stay on", outlet_id: str = "O1") -> Job:
    """Return a lamp on one circuit, and an oxygen concentrator of the owner's."""
    return small_job(
        circuits=circuits(P1=10.0, P2=10.0),
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed")},
        house={"oxygen": amps(1.6, kind="motor", outlet=outlet_id, policy=policy)},
        setups=[setup(lamp="lounge", on=["oxygen"])],
    )


@pytest.mark.parametrize(("device", "dark"), [("P1", ()), (None, ("O1",))])
def test_it_is_named_whether_seen_dark_or_behind_what_opened(
    device: str | None, dark: tuple[str, ...]
) -> None:
    """The lamp on the same circuit is nobody's life."""
    answer = told(house(), LAMP, OXYGEN, device=device, dark=dark, lit=("O2",))
    assert answer.must_stay_on == ("oxygen at O1",)
    text = " ".join(trip_text(answer, Style()).split())
    assert "Must stay on and may be dark: oxygen at O1. See to it first; if this takes" in text
    assert trip_data(answer)["must_stay_on"] == ["oxygen at O1"]


def test_what_is_elsewhere_or_may_go_off_is_not_named() -> None:
    """On the other circuit it runs on; what may be off is for the owner to switch back on."""
    assert not told(house(outlet_id="O2"), LAMP, put("oxygen", "O2"), device="P1").must_stay_on
    assert not told(house("may be off"), LAMP, OXYGEN, device="P1").must_stay_on


def test_it_comes_back_before_anything_larger() -> None:
    """The lamp draws more, but nobody's breath hangs on it."""
    answer = told(house(), LAMP, OXYGEN, device="P1")
    assert answer.back is not None
    assert [p.load for p in answer.back.order] == ["oxygen", "lamp"]


def test_in_a_dark_house_nobody_is_sent_to_an_outlet_that_is_lit() -> None:
    """There is none: the owner has to know."""
    answer = told(house(), LAMP, OXYGEN, device="service fuse", dark=("O1", "O2"))
    text = " ".join(trip_text(answer, Style()).split())
    assert "oxygen at O1. See to it first, and tell the owner." in text


@pytest.mark.parametrize(
    ("more", "opened", "back"),
    [
        ({"rcd": "RCD1"}, "RCD1", ["oxygen", "spot", "lamp"]),
        ({"arc_fault": True}, "P1", ["oxygen", "spot"]),
    ],
)
def test_it_is_the_last_to_be_unplugged_and_the_first_to_be_back(
    more: Entry, opened: str, back: list[str]
) -> None:
    """It leaks most and has a motor, but the lamp is tried first.

    What may leak is added last, and shows then; what an arc-fault breaker takes for an arc would
    only open it a second time, and stays unplugged.
    """
    job = small_job(
        rcds={"RCD1": {"trips_at_ma": 30}},
        circuits={name: circuit(10.0, **more) for name in ("P1", "P2")},
        outlets={"O1": outlet("P1", "lounge", sockets=3)},
        heads={"lamp": amps(4.0, kind="led", leakage_ma=1.0), "spot": amps(1.0)},
        house={"oxygen": amps(1.6, kind="motor", leakage_ma=3.0, **STAYS_AT_O1)},
        setups=[setup(lamp="lounge", spot="lounge", on=["oxygen"])],
    )
    spot = put("spot", "O1", place="lounge", socket=3)
    answer = told(job, LAMP, OXYGEN, spot, device=opened)
    assert radio_line(answer).startswith("Unplug lamp at O1")
    assert answer.back is not None
    assert [p.load for p in answer.back.order] == back


@pytest.mark.parametrize(("lit", "named"), [((), ("oxygen at O3",)), (("O3",), ())])
def test_what_may_be_on_it_is_named_though_it_is_likelier_elsewhere(
    lit: tuple[str, ...], named: tuple[str, ...]
) -> None:
    """One in five that the concentrator is dark is reason to look; lit before their eyes is not."""
    job = small_job(
        circuits=circuits(P1=10.0, P2=10.0),
        outlets={
            "O1": outlet("P1", "lounge"),
            "O2": outlet("P2", "bed"),
            "O3": outlet(None, "bed", maybe_on=["P1", "P2"]),
        },
        wiring={"outlets": {"O3": {"P1": 20, "P2": 80}}},
        house={"oxygen": amps(1.6, kind="motor", outlet="O3", policy="must stay on")},
        setups=[setup(lamp="lounge", on=["oxygen"])],
    )
    oxygen = put("oxygen", "O3")
    assert told(job, LAMP, oxygen, device="P1", lit=lit).must_stay_on == named
    assert told(job, LAMP, oxygen, device="network").must_stay_on == ("oxygen at O3",)
