"""The wiring between two points that were read, and joints that look like long cables.

Must not import anything of the project but ``units`` and this package.
"""

from dataclasses import dataclass
from math import hypot

from spreadload.electrical.conductors import Conductor, Strand, conductor, loop_ohm
from spreadload.electrical.rows import Figure
from spreadload.electrical.source import SourceEstimate
from spreadload.units import METRIC, Lengths

JOINT_SHARE = Figure(
    1.25, source="measured over expected from which a joint is suspected; our own choice"
)


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
    lengths: Lengths = METRIC,
) -> JointCheck:
    """Return whether a run of cable reads like more cable than there is.

    Args:
        measured_ohm: Loop resistance of the run [Ω].
        uncertainty_ohm: Its uncertainty [Ω].
        size: Conductor size.
        length_m: Length of the run [m], above 0.
        strand: Flexible cord or fixed wiring.
        lengths: How a length is told.
    """
    expected_ohm = loop_ohm(size, length_m, strand=strand)
    reads_like_m = length_m * measured_ohm / expected_ohm
    is_suspect = measured_ohm - uncertainty_ohm > JOINT_SHARE.value * expected_ohm
    words = (
        f"reads like {lengths.near(reads_like_m)} of {conductor(size).name}, not "
        f"{lengths.near(length_m)}: a poor "
        "joint or a longer way round; keep load off it and let a licensed electrician look"
        if is_suspect
        else ""
    )
    return JointCheck(expected_ohm, measured_ohm, reads_like_m, is_suspect, words)
