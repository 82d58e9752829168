"""How large a generator a list of loads needs.

Must not import anything of the project but this package.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from spreadload.electrical.rows import Figure

ALTITUDE_FROM_M = Figure(1000.0, source="portable-generator manual; verified in public text")
ALTITUDE_STEP_M = Figure(500.0, source="portable-generator manual; verified in public text")
TEMPERATURE_FROM_C = Figure(40.0, source="portable-generator manual; verified in public text")
TEMPERATURE_STEP_C = Figure(5.0, source="portable-generator manual; verified in public text")
LOST_PER_STEP = Figure(
    0.03,
    source="portable-generator manuals, 3 per cent per 500 m and per 5 °C, others lose more; "
    "verified in public text",
)
MARGIN = Figure(
    0.2, source="long-run loading, 10 to 20 per cent kept free; verified in public text"
)
RATING_PF = Figure(0.8, source="three-phase sets are rated at 0.8 lagging; verified in public text")


@dataclass(frozen=True, slots=True)
class GeneratorLoad:
    """One load on a generator.

    Attributes:
        running_w: Watts once running.
        pf: Power factor.
        extra_start_w: Watts on top of that while it starts.
    """

    running_w: float
    pf: float = 1.0
    extra_start_w: float = 0.0


@dataclass(frozen=True, slots=True)
class GeneratorNeed:
    """What a set must give, and the plate it takes to give it here.

    Attributes:
        running_w: Watts running.
        running_va: Volt-amps running, loads of unlike power factor simply added.
        peak_w: Watts at the worst moment: all running and the largest start.
        derating: Share of its plate a set keeps at this height and heat.
        plate_w: Continuous watts to ask for on the plate.
        plate_va: Continuous volt-amps to ask for on the plate.
        plate_peak_w: Peak watts to ask for on the plate.
    """

    running_w: float
    running_va: float
    peak_w: float
    derating: float
    plate_w: float
    plate_va: float
    plate_peak_w: float


def derating_factor(altitude_m: float = 0.0, ambient_c: float = 0.0) -> float:
    """Return the share of its plate a set keeps at a height [m] and air temperature [°C]."""
    return altitude_factor(altitude_m) * temperature_factor(ambient_c)


def altitude_factor(altitude_m: float) -> float:
    """Return the share of its plate a set keeps at a height [m]."""
    return _factor((altitude_m - ALTITUDE_FROM_M.value) / ALTITUDE_STEP_M.value)


def temperature_factor(ambient_c: float) -> float:
    """Return the share of its plate a set keeps at an air temperature [°C]."""
    return _factor((ambient_c - TEMPERATURE_FROM_C.value) / TEMPERATURE_STEP_C.value)


def _factor(steps: float) -> float:
    return max(0.0, 1 - LOST_PER_STEP.value * max(0.0, steps))


def running_and_peak_w(loads: Iterable[GeneratorLoad]) -> tuple[float, float]:
    """Return watts running, and watts with the largest single start on top."""
    listed = tuple(loads)
    running_w = sum(load.running_w for load in listed)
    return running_w, running_w + max((load.extra_start_w for load in listed), default=0.0)


def generator_need(
    loads: Sequence[GeneratorLoad],
    *,
    altitude_m: float = 0.0,
    ambient_c: float = 0.0,
    margin: float = MARGIN.value,
) -> GeneratorNeed:
    """Return what a generator must give for a list of loads, and the plate that takes.

    Args:
        loads: Loads that run together; they start one at a time.
        altitude_m: Height of the place [m].
        ambient_c: Air temperature [°C].
        margin: Share kept free in long running.
    """
    running_w, peak_w = running_and_peak_w(loads)
    running_va = sum(load.running_w / load.pf for load in loads)
    keeps = derating_factor(altitude_m, ambient_c)
    return GeneratorNeed(
        running_w=running_w,
        running_va=running_va,
        peak_w=peak_w,
        derating=keeps,
        plate_w=_over(running_w * (1 + margin), keeps),
        plate_va=_over(running_va * (1 + margin), keeps),
        plate_peak_w=_over(peak_w, keeps),
    )


def _over(demand: float, share: float) -> float:
    return demand / share if share else float("inf")
