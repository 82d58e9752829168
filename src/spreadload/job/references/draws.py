"""What heads and loads are said to draw: is it said at all, and can it be true?

Imports only its neighbours.
"""

from collections.abc import Iterator

from spreadload.job.kit import Draw, LoadKind
from spreadload.job.references.finding import Finding, Path

_RESISTIVE = frozenset({LoadKind.TUNGSTEN, LoadKind.HEATER})
# Readings and plates are rounded; a twentieth more is still the same statement.
_ROUNDING = 1.05
# Below this a load is not corrected, above it hardly uncorrected (common practice, no source).
_CORRECTED_FROM, _UNCORRECTED_UP_TO = 0.8, 0.95
# Nothing sold to heat takes so little: somebody wrote the kilowatts (common practice, no source).
_LEAST_HEATER_W = 10.0
_FIGURES = "measured_a, plate_a, plate_va, plate_w, lamp_w or class_w"


def check_draw(path: Path, load: Draw) -> Iterator[Finding]:
    """Yield what cannot be true of what one unit draws."""
    figures = (load.measured_a, load.plate_a, load.plate_va, load.plate_w, load.lamp_w)
    if all(figure is None for figure in (*figures, load.class_w)):
        remedy = "read the plate: amps or watts with the power factor"
        yield Finding(path, "nothing says what it draws", limit=f"one of {_FIGURES}", remedy=remedy)
    yield from _watts(path, load)
    yield from _power_factor(path, load)


def _watts(path: Path, load: Draw) -> Iterator[Finding]:
    if load.plate_w is None:
        return
    if load.kind is LoadKind.HEATER and load.plate_w < _LEAST_HEATER_W:
        yield Finding(
            (*path, "plate_w"),
            "too little for anything that heats",
            f"{load.plate_w:g}",
            f"at least {_LEAST_HEATER_W:g} W",
            f"in watts: write {load.plate_w * 1000:g} if {load.plate_w:g} kW was meant",
        )
    if load.lamp_w is not None and load.plate_w < load.lamp_w:
        yield Finding(
            (*path, "plate_w"),
            "draws less than its own lamp",
            f"{load.plate_w:g}",
            f"at least {load.lamp_w:g} W",
            "swap lamp_w and plate_w, or read the plate again",
        )
    apparent_va = load.plate_va
    if apparent_va is None and load.plate_a is not None and load.plate_v is not None:
        apparent_va = load.plate_a * load.plate_v
    if apparent_va is not None and load.plate_w > apparent_va * _ROUNDING:
        yield Finding(
            (*path, "plate_w"),
            "more watts than volt-amps",
            f"{load.plate_w:g}",
            f"at most {apparent_va:g} W",
            "read the plate again: watts are never more than volts times amps",
        )


def _power_factor(path: Path, load: Draw) -> Iterator[Finding]:
    factor = load.power_factor
    if factor is None:
        return
    where = (*path, "power_factor")
    if load.kind in _RESISTIVE and factor < _CORRECTED_FROM:
        remedy = "remove power_factor, or correct kind"
        yield Finding(where, f"a {load.kind} load is close to 1", f"{factor:g}", remedy=remedy)
    elif load.corrected is True and factor < _CORRECTED_FROM:
        remedy = "correct power_factor, or say corrected: false"
        yield Finding(where, "too low for a corrected supply", f"{factor:g}", remedy=remedy)
    elif load.corrected is False and factor > _UNCORRECTED_UP_TO:
        remedy = "correct power_factor, or say corrected: true"
        yield Finding(where, "too high for an uncorrected supply", f"{factor:g}", remedy=remedy)
