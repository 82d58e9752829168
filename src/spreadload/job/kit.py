"""What comes off the van and what others plug in: heads, loads, leads, power boards, boxes."""

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from spreadload.job.base import (
    Amps,
    ClockTime,
    Count,
    Feet,
    Fraction,
    Metres,
    Milliamps,
    Minutes,
    Stated,
    Text,
    Volts,
    Watts,
    length_in_m,
)


class LoadKind(StrEnum):
    """How a load behaves electrically."""

    DISCHARGE = "discharge"
    LED = "led"
    TUNGSTEN = "tungsten"
    FLUORESCENT = "fluorescent"
    HEATER = "heater"
    MOTOR = "motor"
    ELECTRONICS = "electronics"
    OTHER = "other"


class Ballast(StrEnum):
    """What stands between the mains and a lamp."""

    ELECTRONIC = "electronic"
    MAGNETIC = "magnetic"


class Draw(Stated):
    """Everything that may be known of what one unit takes from the mains.

    The best statement wins: measured amps, then plate amps or volt-amps, then plate watts with the
    power factor, then lamp watts or class.
    """

    what: Text = ""
    kind: LoadKind = LoadKind.OTHER
    count: Count = 1
    measured_a: Amps | None = None
    plate_a: Amps | None = None
    plate_va: Watts | None = None
    plate_w: Watts | None = None
    plate_v: Volts | None = None
    lamp_w: Watts | None = None
    class_w: Watts | None = None
    power_factor: Fraction | None = None
    ballast: Ballast | None = None
    corrected: bool | None = None
    leakage_ma: Milliamps | None = None
    plug: Text | None = None
    cord_m: Metres | None = None
    cord_ft: Feet | None = None
    min_v: Volts | None = None
    note: Text = ""

    @property
    def cord_in_m(self) -> float | None:
        """Length of its own cord [m]."""
        return length_in_m(self.cord_m, self.cord_ft)


class Head(Draw):
    """A light fitting: one kind, ``count`` of them on the van."""

    kind: LoadKind = LoadKind.LED
    priority: Annotated[int, Field(ge=1, le=9)] = 5
    cool_down_min: Minutes | None = None
    swaps: tuple[Text, ...] = ()
    big: bool | None = None


class Policy(StrEnum):
    """What was agreed about a load."""

    MUST_STAY_ON = "must stay on"
    MAY_BE_OFF = "may be off"
    MUST_BE_OFF = "must be off"


class Load(Draw):
    """Something that is not ours to light with: a department's or the house's own."""

    by: Text | None = None
    outlet: Text | None = None
    circuit: Text | None = None
    room: Text | None = None
    place: Text | None = None
    policy: Policy | None = None
    intermittent: bool = False
    heat: bool | None = None
    starts_by_itself: bool = False
    starts_from: ClockTime | None = None
    starts_to: ClockTime | None = None
    may_move_to: tuple[Text, ...] = ()


class Lead(Stated):
    """Extension leads of one length and size; an adaptor is a short lead with two kinds of end."""

    length_m: Metres | None = None
    length_ft: Feet | None = None
    size_mm2: Annotated[float, Field(gt=0, le=120)] | None = None
    size_awg: Annotated[int, Field(ge=0, le=20)] | None = None
    plug: Text | None = None
    socket: Text | None = None
    rating_a: Amps | None = None
    wound: bool = False
    layers: Annotated[int, Field(ge=1, le=12)] | None = None
    count: Count = 1

    @property
    def length_in_m(self) -> float | None:
        """Length of one [m]."""
        return length_in_m(self.length_m, self.length_ft)


class PowerBoard(Stated):
    """Power boards of one kind: several ways behind one plug."""

    ways: Annotated[int, Field(ge=2, le=24)] = 4
    rating_a: Amps | None = None
    cut_out: bool | None = None
    plug: Text | None = None
    rcd_ma: Annotated[float, Field(gt=0, le=1000)] | None = None
    count: Count = 1


class DistributionBox(Stated):
    """Boxes with a proper inlet that split a big outlet into smaller ones."""

    inlet: Text
    inlet_a: Amps | None = None
    outlet: Text
    outlet_a: Amps | None = None
    outlets_per_phase: Annotated[int, Field(ge=1, le=24)]
    rcd_ma: Annotated[float, Field(gt=0, le=1000)] | None = None
    cable_m: Metres | None = None
    cable_ft: Feet | None = None
    count: Count = 1

    @property
    def cable_in_m(self) -> float | None:
        """Length of its own cable [m]."""
        return length_in_m(self.cable_m, self.cable_ft)
