"""Neutral currents and balance."""

import pytest

from spreadload.electrical.neutral import (
    LineCurrent,
    WaveKind,
    equal_pf_neutral_a,
    neutral_by_kind_a,
    neutral_current_a,
    neutral_with_triplens_a,
    phase_balance,
    triplen_share,
)


def test_one_line_returns_whole() -> None:
    """On a single-phase supply the neutral carries what the line does."""
    assert neutral_current_a([LineCurrent(7, 0.6)]) == pytest.approx(7)
    assert neutral_current_a([]) == 0


def test_lead_and_lag_are_told_apart() -> None:
    """Two equal legs of unlike angle leave a neutral; equal angles leave none."""
    lagging = LineCurrent(10, 0.8)
    leading = LineCurrent(10, 0.8, leads=True)
    assert neutral_current_a([lagging, lagging]) == pytest.approx(0, abs=1e-12)
    assert neutral_current_a([lagging, leading]) == pytest.approx(12)


def test_mixed_loads_on_a_line_add_as_phasors() -> None:
    """A leading and a lagging load on one line partly cancel before they reach the neutral."""
    mixed = {
        WaveKind.SINE: LineCurrent(10, 0.6),
        WaveKind.CORRECTED: LineCurrent(10, 0.6, leads=True),
    }
    assert neutral_by_kind_a([mixed]) == pytest.approx(12)
    assert neutral_by_kind_a([mixed, {}]) == pytest.approx(12)


def test_triplens_count_on_three_phases_only() -> None:
    """Balanced uncorrected loads fill a three-phase neutral; two legs cancel them."""
    dirty = {WaveKind.UNCORRECTED: LineCurrent(10)}
    three = neutral_by_kind_a([dirty] * 3)
    assert three == pytest.approx(30 * triplen_share(WaveKind.UNCORRECTED))
    assert neutral_by_kind_a([dirty] * 2) == pytest.approx(0, abs=1e-12)


def test_triplens_and_unbalance_add_as_rms() -> None:
    """3 A of unbalance and 4 A of triplens make 5 A."""
    lines = [LineCurrent(3), LineCurrent(0), LineCurrent(0)]
    assert neutral_with_triplens_a(lines, [1, 1, 2]) == pytest.approx(5)


def test_the_textbook_form_is_the_phasor_sum_at_equal_angles() -> None:
    """Both give the same number at any common power factor."""
    for pf in (1.0, 0.7):
        lines = [LineCurrent(each, pf) for each in (12, 7, 3)]
        assert neutral_current_a(lines) == pytest.approx(equal_pf_neutral_a(12, 7, 3))
    assert equal_pf_neutral_a(5, 5, 5) == 0


def test_balance_names_the_line_farthest_from_the_mean() -> None:
    """10, 14 and 9 A have a mean of 11 A and are 27 % off on the second line."""
    found = phase_balance([10, 14, 9])
    assert (found.mean_a, found.worst_line, found.spread_a) == (11, 1, 5)
    assert found.worst_pct == pytest.approx(100 * 3 / 11)
    assert phase_balance([0, 0]).worst_pct == 0
