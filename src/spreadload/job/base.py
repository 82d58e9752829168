"""What every model of the job shares: strict, frozen, no stray keys, no NaN."""

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from spreadload.units import metres

DAY_MIN = 24 * 60
MAX_COUNT = 2000
MAX_AMPS = 6300.0
MAX_WATTS = 1_000_000.0
MAX_METRES = 2000.0

Amps = Annotated[float, Field(gt=0, le=MAX_AMPS)]
Watts = Annotated[float, Field(gt=0, le=MAX_WATTS)]
Volts = Annotated[float, Field(gt=0, le=1000)]
Milliamps = Annotated[float, Field(ge=0, le=1000)]
Metres = Annotated[float, Field(ge=0, le=MAX_METRES)]
Feet = Annotated[float, Field(ge=0, le=MAX_METRES)]
Minutes = Annotated[float, Field(ge=0, le=240)]
Fraction = Annotated[float, Field(gt=0, le=1)]
Percent = Annotated[float, Field(gt=0, le=100)]
Count = Annotated[int, Field(ge=1, le=MAX_COUNT)]
Coordinate = Annotated[float, Field(ge=-MAX_METRES, le=MAX_METRES)]
Position = Annotated[tuple[Coordinate, Coordinate], Field(description="x, y in metres")]
PositionFt = Annotated[tuple[Coordinate, Coordinate], Field(description="x, y in feet")]
ClockTime = Annotated[
    str,
    Field(pattern=r"^([01]?\d|2[0-4]):[0-5]\d$", description="a time of day such as 7:30 or 19:05"),
]
Text = Annotated[str, Field(max_length=2000)]


class Stated(BaseModel):
    """Base of every entry of a job file."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", strict=True, allow_inf_nan=False, defer_build=True
    )


def length_in_m(stated_m: float | None, stated_ft: float | None) -> float | None:
    """Return a length stated in metres or in feet [m], or None where neither is."""
    return metres(stated_ft) if stated_m is None and stated_ft is not None else stated_m


def position_in_m(at: Position | None, at_ft: Position | None) -> Position | None:
    """Return a position stated in metres or in feet [m], or None where neither is."""
    if at is not None or at_ft is None:
        return at
    return metres(at_ft[0]), metres(at_ft[1])


def clock_minutes(time: str) -> int:
    """Return minutes after midnight of a ``ClockTime``."""
    hours, minutes = time.split(":")
    return int(hours) * 60 + int(minutes)


def pieces_of_day(start_min: int, end_min: int) -> tuple[tuple[int, int], ...]:
    """Return a window as pieces within one day [min]; one that ends no later passes midnight."""
    if start_min < end_min:
        return ((start_min, end_min),)
    return ((start_min, DAY_MIN), (0, end_min))
