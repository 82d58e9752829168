"""What is equal on paper ranks alike, in whatever order a processor adds it up."""

import os
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spreadload.wiring.ties import evened

UNTRACED = "tests/jobs/terrace_not_traced.yaml"


@given(
    parts=st.lists(st.integers(1, 10_000), min_size=2, max_size=400),
    seed=st.integers(0, 2**32 - 1),
)
def test_order_of_adding_is_not_seen(parts: list[int], seed: int) -> None:
    """The same weights in another order give the same share, to the last bit."""
    weights = np.array(parts) / sum(parts)
    shuffled = np.random.default_rng(seed).permutation(weights)
    half = len(parts) // 2
    there = float(np.sum(shuffled[:half])) + float(np.sum(shuffled[half:]))
    assert evened(float(np.cumsum(weights)[-1])) == evened(there)


def test_of_equals_the_first_is_taken() -> None:
    """Two sums of the same weights, added up differently, are a tie."""
    first, second = (0.1 + 0.2) + 0.3, 0.1 + (0.2 + 0.3)
    assert first > second
    assert int(np.argmin(evened(np.array([first, second])))) == 0


@pytest.mark.parametrize("command", [("trace", UNTRACED, "--people", "1"), ("plan", UNTRACED)])
def test_another_processor_gives_the_same_answer(command: tuple[str, ...]) -> None:
    """NumPy's sums as an old processor adds them and as this one does: one answer to the byte.

    Source:
        OPENBLAS_CORETYPE picks the kernels of another processor: OpenBLAS, "Runtime variables".
    """
    said = [
        subprocess.run(
            [sys.executable, "-m", "spreadload", *command, "--json"],
            env=os.environ | kernels,
            capture_output=True,
            text=True,
            check=False,
        ).stdout
        for kernels in ({}, {"OPENBLAS_CORETYPE": "Prescott"}, {"OPENBLAS_CORETYPE": "Haswell"})
    ]
    assert said[0]
    assert said[1:] == said[:1] * 2
