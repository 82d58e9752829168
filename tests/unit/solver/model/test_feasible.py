"""A plain solve says yes, no, or that the work it may do was not enough."""

from builders import amps, circuit, setup, small_job
from spreadload.derived.facts import Facts
from spreadload.solver.model.feasible import Fits, fits

LONG_S = 60.0


def packed(largest_a: float) -> Facts:
    """Return six heads of different amps for three circuits of 10 A, all in one room.

    With 6 A the largest, 6 + 4, 5.5 + 4.5 and 5.2 + 4.8 A fill all three; with 6.1 A the sum alone,
    30.1 A, is over 30 A.
    """
    heads = [largest_a, 4.0, 5.5, 4.5, 5.2, 4.8]
    return Facts.of(
        small_job(
            circuits={name: circuit(10.0) for name in ("P1", "P2", "P3")},
            heads={f"h{n}": amps(each_a) for n, each_a in enumerate(heads)},
            outlets={
                f"O{n}": {"room": "lounge", "sockets": 2, "circuit": f"P{n}", "known": "tested"}
                for n in (1, 2, 3)
            },
            setups=[setup(**{f"h{n}": "lounge" for n in range(len(heads))})],
        )
    )


def test_three_pairs_fill_three_circuits() -> None:
    """The only way to fill each to the last tenth of an amp is found."""
    assert fits(packed(6.0), LONG_S) is Fits.YES


def test_a_tenth_of_an_amp_more_fits_nowhere() -> None:
    """30.1 A on 30 A."""
    assert fits(packed(6.1), LONG_S) is Fits.NO


def test_without_work_it_is_not_sure_however_long_it_may_take() -> None:
    """Time on the wall does not stand in for work, so a busy machine answers like an idle one."""
    assert fits(packed(6.0), LONG_S, work_s=1e-9) is Fits.UNSURE
