"""What a warm or full board takes off the rating of a breaker.

Must not import anything of the project but this package.
"""

from dataclasses import dataclass

from spreadload.electrical.rows import Figure


@dataclass(frozen=True, slots=True)
class GroupFactor:
    """Share of the rating that loaded breakers keep when mounted side by side.

    Attributes:
        from_count: Smallest number of loaded neighbours, itself included, the row holds for.
        factor: Share of the rating.
        source: Document, table and status.
    """

    from_count: int
    factor: float
    source: str


@dataclass(frozen=True, slots=True)
class AmbientFactor:
    """Share of the rating a thermal breaker keeps in warm air.

    Attributes:
        ambient_c: Air around the breaker [°C].
        factor: Share of the rating.
        source: Document, table and status.
    """

    ambient_c: float
    factor: float
    source: str


_GROUP = "one maker's grouping data for breakers side by side; verified in a secondary text only"
_REFERENCE = "IEC 60898-1, reference temperature 30 °C; verified in public text"
_AMBIENT = "one maker's table, calibrated at 40 °C, counted from 30 °C here; derived"

SIDE_BY_SIDE: tuple[GroupFactor, ...] = (
    GroupFactor(1, 1.0, source=_GROUP),
    GroupFactor(2, 0.95, source=_GROUP),
    GroupFactor(4, 0.9, source=_GROUP),
    GroupFactor(6, 0.85, source=_GROUP),
)
AMBIENT: tuple[AmbientFactor, ...] = (
    AmbientFactor(30.0, 1.0, source=_REFERENCE),
    AmbientFactor(45.0, 0.9, source=_AMBIENT),
    AmbientFactor(50.0, 0.85, source=_AMBIENT),
)
REFERENCE_C = Figure(30.0, source="IEC 60898-1, reference temperature; verified in public text")
UL_REFERENCE_C = Figure(
    40.0, source="UL 489, ambient that ratings are for; verified in public text"
)


def side_by_side_factor(loaded: int) -> float:
    """Return the share of its rating a breaker keeps among so many loaded ones, itself included."""
    fitting = [row.factor for row in SIDE_BY_SIDE if row.from_count <= max(1, loaded)]
    return fitting[-1]


def ambient_factor(ambient_c: float, reference_c: float = REFERENCE_C.value) -> float:
    """Return the share of its rating a thermal breaker keeps in air of a temperature [°C].

    Straight lines between the rows; no gain is taken in cold air, and the last slope goes on.

    Args:
        ambient_c: Air around the breaker [°C].
        reference_c: Air its rating is for [°C]; the rows are for 30.
    """
    ambient_c -= reference_c - REFERENCE_C.value
    if ambient_c <= AMBIENT[0].ambient_c:
        return AMBIENT[0].factor
    below = [row for row in AMBIENT[:-1] if row.ambient_c <= ambient_c][-1]
    above = AMBIENT[AMBIENT.index(below) + 1]
    slope = (above.factor - below.factor) / (above.ambient_c - below.ambient_c)
    return max(0.0, below.factor + slope * (ambient_c - below.ambient_c))


def warm_board_factor(
    loaded: int, ambient_c: float, reference_c: float = REFERENCE_C.value
) -> float:
    """Return the share of its rating a breaker keeps on a warm board; both factors multiply."""
    return side_by_side_factor(loaded) * ambient_factor(ambient_c, reference_c)
