"""A castle is weighed as a house is: in bounded memory, and without a number running over."""

import pytest

from builders import circuit, job_of, small_data
from spreadload.job.job import Job
from spreadload.wiring.model import WiringModel


def castle(ways: int, outlets: int) -> Job:
    """Return a house of so many ways and outlets, two to a room, of which nobody knows anything."""
    rooms = {f"room {n}": {"at": [4.0 * (n % 10), 4.0 * (n // 10)]} for n in range(outlets // 2)}
    data = small_data(
        circuits={f"C{n}": circuit(16.0) for n in range(ways)},
        rooms=rooms,
        outlets={f"O{n}": {"room": f"room {n // 2}", "sockets": 2} for n in range(outlets)},
        setups=[{"id": "A", "heads": {"lamp": "room 0"}}],
    )
    return job_of(data)


def test_more_ways_than_a_float_can_permute() -> None:
    """200 ways can be handed out in more orders than 1e308, the largest number of IEEE 754."""
    model = WiringModel.of(castle(ways=200, outlets=8), draws=4)
    assert not model.is_exhaustive


@pytest.mark.parametrize(("ways", "outlets"), [(60, 60), (120, 40)])
def test_layouts_do_not_outgrow_memory(ways: int, outlets: int) -> None:
    """However large the house, the layouts of its wirings take some hundred megabytes at most."""
    model = WiringModel.of(castle(ways, outlets), draws=20)
    assert len(model.log_layout) >= 20
    assert model.odds.nbytes < 500_000_000
