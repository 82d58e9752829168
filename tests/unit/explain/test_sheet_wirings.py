"""The wirings a page carries along for the phone."""

import pytest

from builders import outlet, small_job
from spreadload.derived.facts import Facts
from spreadload.explain.sheet.possible import WEIGHT_SCALE, possible_wirings


def test_known_wiring_is_one_map_with_all_the_weight() -> None:
    """A house without doubts has a single wiring."""
    told = possible_wirings(Facts.of(small_job()))
    assert told["maps"] == [[WEIGHT_SCALE, 0, 1]]
    assert told["exact"]


def test_open_wiring_lists_every_map_of_a_small_house() -> None:
    """One unknown outlet between two ways makes two maps that weigh one in all."""
    job = small_job(outlets={"O1": outlet("P1", "lounge"), "O2": outlet(None, "bed")})
    told = possible_wirings(Facts.of(job))
    assert {tuple(each[1:]) for each in told["maps"]} == {(0, 0), (0, 1)}
    assert sum(each[0] for each in told["maps"]) == pytest.approx(WEIGHT_SCALE, abs=2)
    assert told["allowed"]["O2"] == ["P1", "P2"]
    assert told["kept_pct"] == 100
