"""Current in the neutral of split-phase and three-phase supplies, and how even the phases are.

Must not import anything of the project but this package.
"""

from cmath import rect
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import acos, hypot, pi, sqrt

from spreadload.electrical.rows import Figure


@dataclass(frozen=True, slots=True)
class LineCurrent:
    """Current in one line.

    Attributes:
        amps_a: Current [A].
        pf: Displacement power factor.
        leads: The current leads the voltage, as with light loads behind filters.
    """

    amps_a: float
    pf: float = 1.0
    leads: bool = False

    @property
    def phasor_a(self) -> complex:
        """The current against its own line voltage."""
        angle = acos(min(1.0, self.pf))
        return rect(self.amps_a, angle if self.leads else -angle)


def neutral_phasor_a(lines: Sequence[LineCurrent]) -> complex:
    """Return the phasor sum of line currents, against the first line's voltage.

    Args:
        lines: One line; two legs of a split supply, half a turn apart; or three phases in
            rotation order, a third of a turn apart.
    """
    turn = rect(1, -2 * pi / max(1, len(lines)))
    return sum((line.phasor_a * turn**place for place, line in enumerate(lines)), start=0j)


def neutral_current_a(lines: Sequence[LineCurrent]) -> float:
    """Return the current in the neutral [A] at mains frequency; see ``neutral_phasor_a``."""
    return abs(neutral_phasor_a(lines))


class WaveKind(StrEnum):
    """How much third harmonic a load draws."""

    SINE = "sine"
    CORRECTED = "corrected electronics"
    UNCORRECTED = "uncorrected electronics"
    DIMMED = "phase-control dimmer"


@dataclass(frozen=True, slots=True)
class TriplenShare:
    """Third, ninth and further triplen harmonics as a share of a load's current.

    Attributes:
        kind: Wave form.
        share: Triplen rms over load current.
        source: Document and status.
    """

    kind: WaveKind
    share: float
    source: str


TRIPLEN_SHARES: tuple[TriplenShare, ...] = (
    TriplenShare(WaveKind.SINE, 0.0, source="sine wave; derived"),
    TriplenShare(
        WaveKind.CORRECTED, 0.15, source="upper end for corrected LED and discharge; from memory"
    ),
    TriplenShare(
        WaveKind.UNCORRECTED,
        0.577,
        source="neutral of 1.73 times the phase current, technical note on third harmonics; "
        "verified in a secondary text only",
    ),
    TriplenShare(
        WaveKind.DIMMED,
        0.433,
        source="NEC 520.27(B), neutral of 130 per cent for dimmer feeds, as a share; from memory",
    ),
)


def triplen_share(kind: WaveKind) -> float:
    """Return triplen rms over load current for a wave form."""
    return next(row.share for row in TRIPLEN_SHARES if row.kind is kind)


def rms(parts: Sequence[float]) -> float:
    """Return the rms of parts at different frequencies, in their unit."""
    return hypot(*parts)


def neutral_with_triplens_a(lines: Sequence[LineCurrent], triplens_a: Sequence[float]) -> float:
    """Return the neutral current [A] of an uneven three-phase load with harmonics.

    Args:
        lines: Line currents at mains frequency.
        triplens_a: Triplen rms of each line [A]; they are in phase, so they add as numbers.

    Source:
        Balanced triplens add in the neutral to three times their rms (textbook eq. 2.102).
    """
    return rms((neutral_current_a(lines), sum(triplens_a)))


_THREE_PHASES = 3


def neutral_by_kind_a(lines: Sequence[Mapping[WaveKind, LineCurrent]]) -> float:
    """Return the neutral current [A] of a three-phase supply, from each line's loads by wave form.

    Triplens of split and single supplies cancel or simply return, so there only the phasor counts.
    """
    sums = [_total(line) for line in lines]
    triplens_a = [
        sum(triplen_share(kind) * current.amps_a for kind, current in line.items())
        for line in lines
    ]
    if len(lines) != _THREE_PHASES:
        return neutral_current_a(sums)
    return neutral_with_triplens_a(sums, triplens_a)


def _total(line: Mapping[WaveKind, LineCurrent]) -> LineCurrent:
    phasor_a = sum((current.phasor_a for current in line.values()), start=0j)
    amps_a = abs(phasor_a)
    pf = phasor_a.real / amps_a if amps_a else 1.0
    return LineCurrent(amps_a, pf, leads=phasor_a.imag > 0)


@dataclass(frozen=True, slots=True)
class PhaseBalance:
    """How even the lines of a supply are.

    Attributes:
        mean_a: Mean line current [A].
        worst_line: Place of the line farthest from the mean, from 0.
        worst_pct: How far that line is from the mean [% of the mean].
        spread_a: Fullest less emptiest line [A].
    """

    mean_a: float
    worst_line: int
    worst_pct: float
    spread_a: float


GENERATOR_BALANCE_PCT = Figure(
    20.0, source="planning figure for generators, within 10 to 20 per cent of the mean; from memory"
)


def phase_balance(currents_a: Sequence[float]) -> PhaseBalance:
    """Return the balance numbers of two or three line currents [A]."""
    mean_a = sum(currents_a) / len(currents_a)
    away = [abs(current_a - mean_a) for current_a in currents_a]
    worst = max(range(len(away)), key=away.__getitem__)
    return PhaseBalance(
        mean_a=mean_a,
        worst_line=worst,
        worst_pct=100 * away[worst] / mean_a if mean_a else 0.0,
        spread_a=max(currents_a) - min(currents_a),
    )


def equal_pf_neutral_a(phase_a: float, phase_b: float, phase_c: float) -> float:
    """Return the three-phase neutral current [A] where all power factors are equal.

    Source:
        √(a² + b² + c² - ab - bc - ca), the textbook form of the phasor sum.
    """
    squares = phase_a**2 + phase_b**2 + phase_c**2
    products = phase_a * phase_b + phase_b * phase_c + phase_c * phase_a
    return sqrt(max(0.0, squares - products))
