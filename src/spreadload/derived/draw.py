"""What one unit of a load takes from the mains: best, likely and worst, and where that came from.

The best statement wins: measured amps, plate amps, plate volt-amps, plate watts with the power
factor, lamp watts or class watts with the trade's allowances. Plans hold for the worst figure.
"""

from dataclasses import dataclass
from math import sqrt

from spreadload import practice
from spreadload.job.kit import Ballast, Draw, LoadKind
from spreadload.job.phases import LEGS


@dataclass(frozen=True)
class Band:
    """Best, likely and worst value of one quantity."""

    best: float
    likely: float
    worst: float

    def scaled(self, factor: float) -> "Band":
        """Return the band times a positive factor."""
        return Band(self.best * factor, self.likely * factor, self.worst * factor)


@dataclass(frozen=True)
class LoadDraw:
    """What one unit draws.

    Attributes:
        apparent_va: Volt-amps at planning volts [VA], or None when amps were stated.
        stated_a: Amps as stated, the same on every pole [A], or None.
        power_w: Real power [W].
        power_factor: Likely power factor.
        source: Where the figure came from, in words.
        is_assumed: Whether any of it is a habit of the trade rather than a statement of the job.
    """

    apparent_va: Band | None
    stated_a: Band | None
    power_w: Band
    power_factor: float
    source: str
    is_assumed: bool

    def current_a(self, poles: int, planning_v: float, line_to_line_v: float) -> Band:
        """Return the current of one unit on each of its poles [A].

        Args:
            poles: 1 between line and neutral, 2 between two lines, 3 on three phases.
            planning_v: Line-to-neutral volts to plan with [V].
            line_to_line_v: Volts between two lines [V].
        """
        if self.stated_a is not None:
            return self.stated_a
        if self.apparent_va is None:
            return Band(0.0, 0.0, 0.0)
        volts = {1: planning_v, 2: line_to_line_v, 3: 3 * planning_v}[poles]
        return self.apparent_va.scaled(1 / volts)


def line_to_line_v(planning_v: float, phase_count: int) -> float:
    """Return volts between two lines: twice on split-phase, √3 times on three phases [V]."""
    if phase_count == LEGS:
        return LEGS * planning_v
    return sqrt(3) * planning_v


def draw_of(load: Draw, planning_v: float) -> LoadDraw:
    """Return what one unit of ``load`` draws at ``planning_v`` volts.

    Source:
        Allowances for unknown ballasts, classes and power factors: ``practice`` rows, each with its
        own source.
    """
    factor = _power_factor(load)
    if load.measured_a is not None:
        return _from_amps(load.measured_a, "measured", planning_v, factor)
    if load.plate_a is not None:
        return _from_amps(load.plate_a, "plate amps", planning_v, factor)
    if load.plate_va is not None:
        apparent = Band(load.plate_va, load.plate_va, load.plate_va)
        return LoadDraw(
            apparent, None, _times(apparent, factor), factor.likely, "plate VA", is_assumed=False
        )
    power, said, assumed = _power(load)
    apparent = Band(
        power.best / factor.best, power.likely / factor.likely, power.worst / factor.worst
    )
    return LoadDraw(
        apparent,
        None,
        power,
        factor.likely,
        f"{said}, {factor.words}",
        is_assumed=assumed or factor.is_assumed,
    )


@dataclass(frozen=True)
class _Factor:
    best: float
    likely: float
    worst: float
    words: str
    is_assumed: bool


def _times(apparent: Band, factor: _Factor) -> Band:
    return Band(
        apparent.best * factor.worst, apparent.likely * factor.likely, apparent.worst * factor.best
    )


def _from_amps(current_a: float, said: str, planning_v: float, factor: _Factor) -> LoadDraw:
    amps = Band(current_a, current_a, current_a)
    power = _times(amps.scaled(planning_v), factor)
    return LoadDraw(None, amps, power, factor.likely, said, is_assumed=False)


def _power_factor(load: Draw) -> _Factor:
    if load.power_factor is not None:
        stated = load.power_factor
        return _Factor(stated, stated, stated, f"power factor {stated:g}", is_assumed=False)
    row = practice.power_factor_row(
        kind=load.kind.value,
        watts=_rough_watts(load),
        corrected=load.corrected,
        magnetic=load.ballast is Ballast.MAGNETIC,
    )
    words = f"power factor {row.worst:g} assumed ({row.words})"
    if load.kind in (LoadKind.HEATER, LoadKind.TUNGSTEN):
        words = "resistive"
    return _Factor(row.best, row.likely, row.worst, words, is_assumed=row.worst < 1)


def _rough_watts(load: Draw) -> float | None:
    return load.plate_w or load.class_w or load.lamp_w


def _power(load: Draw) -> tuple[Band, str, bool]:
    if load.plate_w is not None:
        return Band(load.plate_w, load.plate_w, load.plate_w), f"plate {load.plate_w:g} W", False
    if load.class_w is not None:
        row = practice.watts_row("class")
        said = f"{load.class_w:g} W class x {row.worst:g} assumed"
        return _allowed(load.class_w, row), said, True
    lamp_w = load.lamp_w or 0.0
    if load.kind in (LoadKind.TUNGSTEN, LoadKind.HEATER):
        return Band(lamp_w, lamp_w, lamp_w), f"lamp {lamp_w:g} W", False
    row = practice.watts_row("lamp, magnetic" if load.ballast is Ballast.MAGNETIC else "lamp")
    return _allowed(lamp_w, row), f"lamp {lamp_w:g} W x {row.worst:g} assumed for ballast", True


def _allowed(watts: float, row: practice.WattsRow) -> Band:
    return Band(watts * row.best, watts * row.likely, watts * row.worst)
