"""Telling the rows of a table apart: as NumPy does column by column, only sooner."""

import numpy as np
import pytest

from spreadload.wiring.rows import different_rows


@pytest.mark.parametrize("columns", [1, 7, 8, 9, 62, 63, 64, 65, 130])
@pytest.mark.parametrize("kinds", [2, 11, 1143])
def test_rows_come_in_the_order_of_their_numbers(columns: int, kinds: int) -> None:
    """The same rows in the same order, and the same row of each, however long the rows are."""
    rng = np.random.default_rng(columns)
    few = rng.integers(kinds, size=(20, columns), dtype=np.intp)
    few[1:9] = few[0]
    few[5:9, -1] = kinds - 1 - few[5:9, -1]  # told apart by their last number alone
    rows = few[rng.integers(len(few), size=200)]
    found, index = different_rows(rows, kinds)
    wanted, wanted_index = np.unique(rows, axis=0, return_inverse=True)
    assert np.array_equal(found, wanted)
    assert np.array_equal(index, wanted_index.ravel())
    assert np.array_equal(found[index], rows)
