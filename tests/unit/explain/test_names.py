"""Names as the crew says them."""

from builders import circuits, outlet, small_job
from spreadload.derived.facts import Facts
from spreadload.explain.names import one_of, point_with_circuits


def test_few_circuits_are_named_and_many_counted() -> None:
    """Eight names are read at a glance; a board of thirty ways is not."""
    ways = [f"P{n}" for n in range(1, 31)]

    assert one_of(ways[:3]) == "P1, P2 or P3"
    assert one_of(ways[:8]) == "P1, P2, P3, P4, P5, P6, P7 or P8"
    assert one_of(ways) == "one of 30 circuits, P1 to P30"


def test_an_outlet_on_a_large_board_names_its_circuits_from_end_to_end() -> None:
    """Circuits are counted in the order of the board, 9 before 10."""
    job = small_job(
        circuits=circuits(**{f"P{n}": 10.0 for n in range(1, 13)}),
        outlets={"O1": outlet(None, "lounge")},
    )

    told = point_with_circuits(Facts.of(job).points["O1"])

    assert told == "O1 (one of 12 circuits, P1 to P12)"
