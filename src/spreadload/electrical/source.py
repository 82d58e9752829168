"""The impedance of a supply from volts read idle and under load.

An idle meter always reads fine; only a pair of readings, without and with a known load, tells how
far the volts will sag. Must not import anything of the project but this package.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import hypot, inf, sqrt

from spreadload.electrical.behaviour import LoadClass, current_ratio
from spreadload.electrical.rows import Figure

METER_STEP_V = Figure(0.1, source="last digit of an ordinary meter; common practice, no source")
DRIFT_V = Figure(
    0.5,
    source="how far a supply wanders between two readings minutes apart; "
    "common practice, no source",
)
COVERAGE = Figure(2.0, source="two standard deviations, about 95 per cent; our own choice")
WEAK_SHARE = Figure(
    0.5, source="uncertainty over estimate from which a reading is called weak; our own choice"
)


@dataclass(frozen=True, slots=True)
class AssumedLoop:
    """Loop impedance to plan with where nobody measured.

    Attributes:
        up_to_v: Holds for nominal line-to-neutral volts up to this [V].
        ohm: Loop impedance [Ω].
        source: Document and status.
    """

    up_to_v: float
    ohm: float
    source: str


ASSUMED_LOOPS: tuple[AssumedLoop, ...] = (
    AssumedLoop(
        150.0,
        0.20,
        source="one leg and neutral of 10 kVA at 2 %, then 150 ft of 1/0 and 100 ft of 4 AWG "
        "aluminium (NEC chapter 9 table 8), an old and long service; derived",
    ),
    AssumedLoop(
        inf,
        0.47,
        source="IEC 60725 reference impedance, 0.40 + j0.25 Ω phase and neutral; from memory",
    ),
)


class Strength(StrEnum):
    """How far an impedance can be trusted."""

    MEASURED = "measured"
    WEAK = "weak"
    ASSUMED = "assumed"


@dataclass(frozen=True, slots=True)
class ReadingPair:
    """Volts at one point without and with a load.

    Attributes:
        idle_v: With as little on as possible [V].
        loaded_v: With the load on [V]; None where only the idle reading was taken.
        load_a: The load's current [A], where read.
        load_w: The load's plate watts, where its current was not read.
        load_rated_v: Volts of that plate [V]; the loaded reading where unknown.
        load_class: What the load does when the voltage changes.
    """

    idle_v: float
    loaded_v: float | None = None
    load_a: float | None = None
    load_w: float | None = None
    load_rated_v: float | None = None
    load_class: LoadClass = LoadClass.CONSTANT_RESISTANCE

    @property
    def amps_a(self) -> float | None:
        """Current of the load at the loaded volts [A], or None where it cannot be told."""
        if self.load_a is not None:
            return self.load_a
        if self.load_w is None or not self.loaded_v:
            return None
        rated_v = self.load_rated_v or self.loaded_v
        ratio = current_ratio(self.load_class, self.loaded_v / rated_v)
        return self.load_w / rated_v * ratio


@dataclass(frozen=True, slots=True)
class SourceEstimate:
    """What a supply looks like from one point.

    Attributes:
        idle_v: Lowest idle reading [V].
        loop_ohm: Most likely impedance, phase and neutral together [Ω].
        low_ohm: Low end of its uncertainty [Ω].
        high_ohm: High end of its uncertainty [Ω].
        strength: How far to trust it.
        used: Number of pairs it rests on.
        notes: What was odd about the readings, in plain words.
    """

    idle_v: float
    loop_ohm: float
    low_ohm: float
    high_ohm: float
    strength: Strength
    used: int
    notes: tuple[str, ...]


def assumed_loop_ohm(nominal_v: float) -> float:
    """Return the loop impedance [Ω] to plan with where nobody measured."""
    return next(row.ohm for row in ASSUMED_LOOPS if nominal_v <= row.up_to_v)


def estimate_source(pairs: Sequence[ReadingPair], nominal_v: float) -> SourceEstimate:
    """Return the impedance of a supply from readings at one point.

    Args:
        pairs: Readings at that point; pairs without a loaded reading tell the idle volts only.
        nominal_v: Nominal line-to-neutral volts [V], used where nothing was read.

    Source:
        Least squares through the origin on drop against current; each drop carries two meter
        steps and the wandering of the supply, or the scatter of the pairs where that is larger.
    """
    idle_v = min((pair.idle_v for pair in pairs), default=nominal_v)
    notes: list[str] = []
    points = [point for pair in pairs if (point := _point(pair, notes)) is not None]
    if not points:
        return _assumed(idle_v, nominal_v, notes)
    squares = sum(amps_a**2 for amps_a, _ in points)
    ohm = max(0.0, sum(amps_a * fall_v for amps_a, fall_v in points) / squares)
    spread = COVERAGE.value * _deviation_v(points, ohm) / sqrt(squares)
    strength = Strength.MEASURED
    if spread > WEAK_SHARE.value * ohm:
        strength = Strength.WEAK
        notes.append("the load was too small for the drop it made; read again with a larger one")
    return SourceEstimate(
        idle_v=idle_v,
        loop_ohm=ohm,
        low_ohm=max(0.0, ohm - spread),
        high_ohm=ohm + spread,
        strength=strength,
        used=len(points),
        notes=tuple(notes),
    )


def _point(pair: ReadingPair, notes: list[str]) -> tuple[float, float] | None:
    """Return current and drop of a pair, or None with a note where it tells nothing."""
    if pair.loaded_v is None:
        notes.append(f"{pair.idle_v:g} V idle only: says nothing of the volts under load")
        return None
    amps_a = pair.amps_a
    if not amps_a:
        notes.append(f"{pair.loaded_v:g} V loaded, but the load is not known")
        return None
    fall_v = pair.idle_v - pair.loaded_v
    if fall_v * amps_a < -abs(amps_a) * DRIFT_V.value:
        notes.append(
            f"{pair.loaded_v:g} V loaded is above {pair.idle_v:g} V idle: the supply moved, "
            "read again"
        )
        return None
    return amps_a, fall_v


def _deviation_v(points: Sequence[tuple[float, float]], ohm: float) -> float:
    """Return the standard deviation of one drop [V]: assumed, or the scatter if larger."""
    assumed_v = hypot(METER_STEP_V.value, METER_STEP_V.value, DRIFT_V.value)
    left_over = sum((fall_v - ohm * amps_a) ** 2 for amps_a, fall_v in points)
    return max(assumed_v, sqrt(left_over / max(1, len(points) - 1)))


def _assumed(idle_v: float, nominal_v: float, notes: list[str]) -> SourceEstimate:
    ohm = assumed_loop_ohm(nominal_v)
    return SourceEstimate(
        idle_v=idle_v,
        loop_ohm=ohm,
        low_ohm=0.0,
        high_ohm=2 * ohm,
        strength=Strength.ASSUMED,
        used=0,
        notes=tuple(notes),
    )
