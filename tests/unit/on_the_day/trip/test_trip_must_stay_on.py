"""What was agreed to stay on is named before anybody walks to the board."""

import pytest

from builders import amps, circuits, outlet, put, setup, small_job
from spreadload.job.job import Job
from spreadload.report.style import Style
from spreadload.report.trip_data import trip_data
from spreadload.report.trip_text import trip_text
from trips import told

LAMP, OXYGEN = put("lamp", "O1", place="lounge"), put("oxygen", "O1", socket=2)


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
