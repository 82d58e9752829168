"""What a power board at the end of a lead may hang on: the most that can be plugged into it."""

import pytest

from builders import amps, circuit, job_of, outlet, setup, small_data
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Impossible, Solved
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.model.candidates import all_candidates
from spreadload.solver.search.ranked_plans import find_plans

# 25 m of 1.0 mm², the longest that 10 A may have there, and a board of 16 A at its end: what is
# on the board decides, not what the board could take.
TUBE_A = 0.6


def stall(tubes: int, other_a: float | None = None) -> Facts:
    """Return a stall 24 m by cable from an outlet, with tubes and perhaps another head."""
    heads = {"tube": amps(TUBE_A, count=tubes, cord_m=1.0)}
    lit = {"tube": {"stall": tubes}}
    if other_a is not None:
        heads["other"] = amps(other_a, cord_m=1.0, plug="au-15")
        lit["other"] = {"stall": 1}
    data = small_data(
        circuits={"P1": circuit(20.0)},
        outlets={"O1": outlet("P1", "lounge", at=[0.0, 0.0], plug="au-15")},
        places={"stall": {"at": [17.0, 0.0]}},
        heads=heads,
        leads=[{"length_m": 25.0, "size_mm2": 1.0, "plug": "au-15", "count": 4}],
        power_boards=[{"ways": 4, "plug": "au-15", "rating_a": 15.0, "count": 2}],
        setups=[setup("SU1", **lit)],
    )
    return Facts.of(job_of(data))


def boards_there(facts: Facts) -> int:
    """Return in how many ways a unit gets onto a board that stands in the stall."""
    return sum(len(c.remote) for each in all_candidates(facts).values() for c in each)


def test_small_units_hang_on_a_lead_that_the_board_could_overload() -> None:
    """Eight tubes are two boards of 2.4 A: they run, where a full board would be too much."""
    facts = stall(tubes=8)

    assert boards_there(facts) == 1
    outcome = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=5.0, alternatives=0))
    assert isinstance(outcome, Solved)
    assert {p.board_lead for p in outcome.plans[0][0].placements} == {0}


@pytest.mark.parametrize(("other_a", "ways"), [(3.0, 2), (8.0, 0)])
def test_what_else_stands_there_counts_however_it_is_plugged_in(other_a: float, ways: int) -> None:
    """The largest units there are counted, one for each way: 4.8 A are fine, 9.8 A not."""
    assert boards_there(stall(tubes=8, other_a=other_a)) == ways


def test_without_boards_there_tubes_are_too_many_for_two_sockets() -> None:
    """One more tube than two boards have ways cannot be lit."""
    facts = stall(tubes=9)
    outcome = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=5.0, alternatives=0))
    assert isinstance(outcome, Impossible)
