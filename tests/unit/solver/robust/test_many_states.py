"""Which maps fail in many states at once: as looking at one state after the other tells."""

import numpy as np
import pytest

from spreadload.solver.robust.many_states import any_of_each


@pytest.mark.parametrize("states", [0, 1, 2, 8, 9, 63, 64, 65, 130])
def test_every_state_is_told_as_if_it_were_alone(states: int) -> None:
    """A map fails in a state where one of its groups does, on no word, one word and several."""
    rng = np.random.default_rng(states)
    over = rng.random((40, states)) < 0.1
    groups = rng.integers(40, size=(5, 300))
    found = any_of_each(over, groups)
    assert found.shape == (300, states)
    for state in range(states):
        alone = over[:, state][groups].any(axis=0)
        assert np.array_equal(found[:, state], alone)
