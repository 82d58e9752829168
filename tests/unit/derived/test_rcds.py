"""What a residual-current device opens at where nobody read it."""

import pytest

from builders import small_job
from spreadload.derived.facts import Facts


@pytest.mark.parametrize(
    ("region", "stated", "trips_at_ma"),
    [
        ("US", {"kind": "GFCI"}, 5),
        ("US", {"kind": "RCBO"}, 5),
        ("CA", {}, 5),
        ("US", {"kind": "equipment"}, 30),
        ("US", {"kind": "GFCI", "trips_at_ma": 20}, 20),
        ("AU", {"kind": "GFCI"}, 5),
        ("UK", {"kind": "RCBO"}, 30),
        ("JP", {}, 30),
    ],
)
def test_a_device_nobody_read_opens_at_the_usual_of_its_kind_and_region(
    region: str, stated: dict[str, object], trips_at_ma: float
) -> None:
    """A GFCI is not taken for a device of 30 mA, which would let six times the leakage on it.

    Source: UL 943, class A: opens at 6 mA, not below 4; UL 1053, equipment: 30 mA; IEC 61008-1:
    30 mA is usual for protection of people.
    """
    job = small_job(region=region, rcds={"G": stated})
    assert Facts.of(job).rcds["G"].trips_at_ma == trips_at_ma
