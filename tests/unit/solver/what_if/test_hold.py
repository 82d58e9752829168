"""How many heads a set-up holds, worked by hand."""

import pytest

from builders import amps, circuit, circuits, small_job
from spreadload.report.style import Style
from spreadload.report.what_if_text import holds_text
from spreadload.solver.what_if.most_light import Filling, how_many


def test_two_circuits_of_ten_amps_hold_four_heads_of_four_amps() -> None:
    """Two on each; a third would make 12 A. The curve climbs from 40 % to 80 %."""
    job = small_job()
    (holds,) = how_many(job, Filling("SU1", (("lamp", "lounge"),)))
    assert (holds.most, holds.is_proven, holds.asked) == (4, True, 1)
    assert holds.curve == ((0, 0), (1, 40), (2, 40), (3, 80), (4, 80))


def test_the_important_kind_is_filled_in_first() -> None:
    """Two of 7 A leave 3 A on each circuit: one of 2 A beside each of them."""
    job = small_job(
        circuits=circuits(P1=10.0, P2=10.0),
        heads={"key": amps(7.0, priority=1), "fill": amps(2.0)},
        setups=[{"id": "SU1", "heads": {"key": "lounge", "fill": "bed"}}],
    )
    key, fill = how_many(job, Filling("SU1", (("key", "lounge"), ("fill", "bed"))))
    assert (key.most, fill.most) == (2, 2)


def test_what_is_on_already_takes_its_share_unless_alone() -> None:
    """Beside a 7 A head there is room for two of 4 A; alone for four."""
    job = small_job(
        heads={"key": amps(7.0), "lamp": amps(4.0)},
        setups=[{"id": "SU1", "heads": {"key": "lounge", "lamp": "bed"}}],
    )
    beside = how_many(job, Filling("SU1", (("lamp", "bed"),)))
    alone = how_many(job, Filling("SU1", (("lamp", "bed"),), is_alone=True))
    assert (beside[0].most, alone[0].most) == (2, 4)


def test_none_when_the_rest_does_not_fit() -> None:
    """A head too large for any circuit leaves no room for a question."""
    job = small_job(
        heads={"key": amps(11.0), "lamp": amps(4.0)},
        setups=[{"id": "SU1", "heads": {"key": "lounge", "lamp": "bed"}}],
    )
    (holds,) = how_many(job, Filling("SU1", (("lamp", "bed"),)))
    assert (holds.most, holds.is_proven) == (None, True)


def test_sockets_run_out_before_amps_unless_leads_and_boards_are_to_hand() -> None:
    """Four sockets hold four heads of 1 A; with boards for everything the breakers decide."""
    job = small_job(heads={"lamp": amps(1.0)}, setups=[{"id": "SU1", "heads": {"lamp": "bed"}}])
    filling = Filling("SU1", (("lamp", "bed"),))
    assert how_many(job, filling)[0].most == 4
    boards = small_job(
        heads={"lamp": amps(1.0)},
        power_boards=[{"ways": 6, "count": 9}],
        setups=[{"id": "SU1", "heads": {"lamp": "bed"}}],
    )
    assert how_many(boards, filling)[0].most == 20


@pytest.mark.parametrize(("water_a", "most", "off"), [(4.0, 3, ("water",)), (2.0, 3, ())])
def test_what_has_to_be_off_for_so_many_is_told(
    water_a: float, most: int, off: tuple[str, ...]
) -> None:
    """Three heads of 4 A are 12 of 15 A: 4 A of water that may be off have to be, 2 A do not.

    By hand: 12 + 4 = 16 A, and 12 + 2 = 14; a fourth head would be 16 A without any water.
    """
    job = small_job(
        supply={"limit_a": 15.0, "limit_source": "pole fuse"},
        circuits=circuits(P1=10.0, P2=10.0) | {"W": circuit(10.0, feeds="water")},
        house={"water": amps(water_a, circuit="W", policy="may be off", starts_by_itself=True)},
    )
    (holds,) = how_many(job, Filling("SU1", (("lamp", "lounge"),)))
    assert (holds.most, holds.off) == (most, off)
    said = holds_text(Filling("SU1", ()), (holds,), Style(width=80))
    assert ("with water off" in said) is bool(off)
