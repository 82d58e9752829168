"""Telling the rows of a table apart: as NumPy does column by column, only sooner."""

import numpy as np
import pytest

from spreadload.solver.risk_table import different_rows


@pytest.mark.parametrize("columns", [1, 7, 8, 9, 63, 64, 65, 130])
def test_rows_come_in_the_order_of_their_bits(columns: int) -> None:
    """The same rows in the same order, and the same row of each, on one word and on several."""
    rng = np.random.default_rng(columns)
    kinds = rng.random((20, columns)) < 0.5
    member = kinds[rng.integers(len(kinds), size=200)]
    rows, index = different_rows(member)
    wanted, wanted_index = np.unique(member, axis=0, return_inverse=True)
    assert np.array_equal(rows, wanted)
    assert np.array_equal(index, wanted_index.ravel())
    assert np.array_equal(rows[index], member)
