"""The impedance of a supply from volts read idle and under load, and what the supply can give.

An idle meter always reads fine; only a pair of readings, without and with a known load, tells how
far the volts will sag. Must not import anything of the project but this package.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import hypot, inf, sqrt

from spreadload.electrical.behaviour import LoadClass, current_ratio
from spreadload.electrical.conductors import Conductor, Strand, conductor, loop_ohm
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
JOINT_SHARE = Figure(
    1.25, source="measured over expected from which a joint is suspected; our own choice"
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
        150.0, 0.25, source="upper end for dwellings on 100 to 127 V; common practice, no source"
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


@dataclass(frozen=True, slots=True)
class JointCheck:
    """A measured run against what its cable should read.

    Attributes:
        expected_ohm: Loop resistance the cable should have [Ω].
        measured_ohm: Loop resistance read [Ω].
        reads_like_m: Length of the same cable that would read so [m].
        is_suspect: More than cable and uncertainty explain.
        words: The finding in plain words, or "".
    """

    expected_ohm: float
    measured_ohm: float
    reads_like_m: float
    is_suspect: bool
    words: str

    def heat_w(self, amps_a: float) -> float:
        """Return the watts the unexplained part turns into heat at a current [A]."""
        return max(0.0, self.measured_ohm - self.expected_ohm) * amps_a**2


@dataclass(frozen=True, slots=True)
class Budget:
    """The most a supply can give without falling below a chosen voltage.

    Attributes:
        min_v: The chosen voltage [V].
        current_a: Largest current at that voltage [A].
        power_w: Watts it delivers then.
        plate_a: The same load's current at its rated volts [A].
    """

    min_v: float
    current_a: float
    power_w: float
    plate_a: float


def source_ohm(idle_v: float, loaded_v: float, amps_a: float) -> float:
    """Return the loop impedance [Ω] one pair of readings shows; the current may flow back."""
    return (idle_v - loaded_v) / amps_a


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
        notes=(*notes, f"no pair of readings: {ohm:g} Ω assumed; read again with a known load on"),
    )


def circuit_ohm(outlet: SourceEstimate, board: SourceEstimate) -> tuple[float, float, float]:
    """Return likely, low and high loop resistance [Ω] of the wiring from board to outlet."""
    likely = outlet.loop_ohm - board.loop_ohm
    spread = hypot(
        outlet.high_ohm - outlet.loop_ohm,
        board.high_ohm - board.loop_ohm,
    )
    return max(0.0, likely), max(0.0, likely - spread), max(0.0, likely + spread)


def joint_check(
    measured_ohm: float,
    uncertainty_ohm: float,
    size: str | float | Conductor,
    length_m: float,
    *,
    strand: Strand = Strand.FIXED,
) -> JointCheck:
    """Return whether a run of cable reads like more cable than there is.

    Args:
        measured_ohm: Loop resistance of the run [Ω].
        uncertainty_ohm: Its uncertainty [Ω].
        size: Conductor size.
        length_m: Length of the run [m], above 0.
        strand: Flexible cord or fixed wiring.
    """
    expected_ohm = loop_ohm(size, length_m, strand=strand)
    reads_like_m = length_m * measured_ohm / expected_ohm
    is_suspect = measured_ohm - uncertainty_ohm > JOINT_SHARE.value * expected_ohm
    words = (
        f"reads like {reads_like_m:.0f} m of {conductor(size).name}, not {length_m:g} m: a poor "
        "joint or a longer way round; keep load off it and let a licensed electrician look"
        if is_suspect
        else ""
    )
    return JointCheck(expected_ohm, measured_ohm, reads_like_m, is_suspect, words)


def budget(
    idle_v: float,
    loop: complex,
    min_v: float,
    *,
    pf: float = 1.0,
    load_class: LoadClass = LoadClass.CONSTANT_POWER,
    rated_v: float | None = None,
) -> Budget:
    """Return the largest current a supply gives at a chosen lowest voltage.

    Args:
        idle_v: Volts with nothing on [V].
        loop: Loop impedance to the point in question [Ω].
        min_v: Chosen lowest voltage there [V].
        pf: Power factor of the load, lagging.
        load_class: What the load does when the voltage changes.
        rated_v: Volts its plate current is stated at [V]; ``idle_v`` if absent.

    Source:
        Exact two-bus circuit: |E|² = (V + I·a)² + (I·b)², the larger root avoided.
    """
    sine = sqrt(max(0.0, 1 - pf * pf))
    along = loop.real * pf + loop.imag * sine
    across = loop.imag * pf - loop.real * sine
    room = idle_v**2 - min_v**2
    if room <= 0:
        return Budget(min_v, 0.0, 0.0, 0.0)
    root = sqrt((min_v * along) ** 2 + (along**2 + across**2) * room)
    current_a = room / (min_v * along + root) if root else inf
    plate_a = current_a / current_ratio(load_class, min_v / (rated_v or idle_v))
    return Budget(min_v, current_a, current_a * min_v * pf, plate_a)
