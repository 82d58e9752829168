"""What a flexible cord may carry, unrolled or on a drum.

Must not import anything of the project but ``errors`` and this package.
"""

from dataclasses import dataclass
from enum import StrEnum

from spreadload.electrical.conductors import Conductor, conductor
from spreadload.electrical.rows import Figure


class CordFamily(StrEnum):
    """Whose table the rating of a cord is read from."""

    APPLIANCE = "appliance cord"
    AS_NZS = "AS/NZS"
    JAPANESE = "Japanese interior wiring rules"
    NEC_TWO_LOADED = "NEC, two loaded conductors"


@dataclass(frozen=True, slots=True)
class CordRating:
    """Current rating of one cord size in one family, unrolled in 30 °C air.

    Attributes:
        family: Table it belongs to.
        size: Conductor size as printed.
        rated_a: Rating [A].
        source: Document, table and status.
    """

    family: CordFamily
    size: str
    rated_a: float
    source: str


@dataclass(frozen=True, slots=True)
class DrumFactor:
    """Share of its rating that a cord keeps on a drum.

    Attributes:
        layers: Layers wound.
        factor: Share of the rating.
        source: Document, table and status.
    """

    layers: int
    factor: float
    source: str


_FLEX = "UK appliance-cord ratings, lower than BS 7671 table 4F3A; verified in public text"
_AS = "AS/NZS 3008.1.1 table 16 and AS/NZS 3191; from memory"
_AS_BS = "no AS/NZS figure read: BS 7671 table 4F1A, lower three-phase column; derived"
_JAPAN = "Japanese interior wiring rules, cords of two or three cores; from memory"
_NEC_B = "NEC table 400.5(A)(1) column B; verified in public text"
_MADE_UP_TO = "BS 7671 table 4F1A, above the appliance-cord sizes; verified in public text"

RATINGS: tuple[CordRating, ...] = (
    CordRating(CordFamily.APPLIANCE, "0.5 mm²", 3.0, source=_FLEX),
    CordRating(CordFamily.APPLIANCE, "0.75 mm²", 6.0, source=_FLEX),
    CordRating(CordFamily.APPLIANCE, "1 mm²", 10.0, source=_FLEX),
    CordRating(CordFamily.APPLIANCE, "1.25 mm²", 13.0, source=_FLEX),
    CordRating(CordFamily.APPLIANCE, "1.5 mm²", 15.0, source=_FLEX),
    CordRating(CordFamily.APPLIANCE, "2.5 mm²", 20.0, source=_FLEX),
    CordRating(CordFamily.APPLIANCE, "4 mm²", 30.0, source=_MADE_UP_TO),
    CordRating(CordFamily.APPLIANCE, "6 mm²", 39.0, source=_MADE_UP_TO),
    CordRating(CordFamily.APPLIANCE, "10 mm²", 51.0, source=_MADE_UP_TO),
    CordRating(CordFamily.APPLIANCE, "16 mm²", 73.0, source=_MADE_UP_TO),
    CordRating(CordFamily.APPLIANCE, "25 mm²", 97.0, source=_MADE_UP_TO),
    CordRating(CordFamily.AS_NZS, "0.75 mm²", 7.5, source=_AS),
    CordRating(CordFamily.AS_NZS, "1 mm²", 10.0, source=_AS),
    CordRating(CordFamily.AS_NZS, "1.5 mm²", 15.0, source=_AS),
    CordRating(CordFamily.AS_NZS, "2.5 mm²", 20.0, source=_AS),
    CordRating(CordFamily.AS_NZS, "4 mm²", 25.0, source=_AS),
    CordRating(CordFamily.AS_NZS, "6 mm²", 34.0, source=_AS_BS),
    CordRating(CordFamily.AS_NZS, "10 mm²", 47.0, source=_AS_BS),
    CordRating(CordFamily.AS_NZS, "16 mm²", 63.0, source=_AS_BS),
    CordRating(CordFamily.AS_NZS, "25 mm²", 83.0, source=_AS_BS),
    CordRating(CordFamily.JAPANESE, "0.75 mm²", 7.0, source=_JAPAN),
    CordRating(CordFamily.JAPANESE, "1.25 mm²", 12.0, source=_JAPAN),
    CordRating(CordFamily.JAPANESE, "2 mm²", 17.0, source=_JAPAN),
    CordRating(CordFamily.JAPANESE, "3.5 mm²", 23.0, source=_JAPAN),
    CordRating(CordFamily.JAPANESE, "5.5 mm²", 35.0, source=_JAPAN),
    CordRating(CordFamily.NEC_TWO_LOADED, "18 AWG", 10.0, source=_NEC_B),
    CordRating(CordFamily.NEC_TWO_LOADED, "16 AWG", 13.0, source=_NEC_B),
    CordRating(CordFamily.NEC_TWO_LOADED, "14 AWG", 18.0, source=_NEC_B),
    CordRating(CordFamily.NEC_TWO_LOADED, "12 AWG", 25.0, source=_NEC_B),
    CordRating(CordFamily.NEC_TWO_LOADED, "10 AWG", 30.0, source=_NEC_B),
    CordRating(CordFamily.NEC_TWO_LOADED, "8 AWG", 40.0, source=_NEC_B),
    CordRating(CordFamily.NEC_TWO_LOADED, "6 AWG", 55.0, source=_NEC_B),
)

_DRUM = "BS 7671 table 4F1A note 2, cylindrical ventilated drum; verified in public text"

DRUM_FACTORS: tuple[DrumFactor, ...] = (
    DrumFactor(1, 0.85, source=_DRUM),
    DrumFactor(2, 0.65, source=_DRUM),
    DrumFactor(3, 0.45, source=_DRUM),
    DrumFactor(4, 0.35, source=_DRUM),
)
UNKNOWN_LAYERS_FACTOR = Figure(
    0.35, source="BS 7671 table 4F1A note 2, the lowest figure where layers are unknown; derived"
)

_RATED = {(row.family, row.size): row for row in RATINGS}


def cord_ratings(family: CordFamily) -> tuple[CordRating, ...]:
    """Return every size of a family, smallest first."""
    return tuple(row for row in RATINGS if row.family is family)


def cord_rating(size: str | float | Conductor, family: CordFamily) -> CordRating:
    """Return the rating row of a cord, unrolled in 30 °C air.

    A size the family does not list takes the row of the next smaller size it does list, in mm²; so
    a metric cord asked of an NEC family is rated as the gauge below it.

    Raises:
        InputError: The size is no conductor size.
        LookupError: The size is smaller than the smallest cord of the family.
    """
    row = conductor(size)
    if found := _RATED.get((family, row.name)):
        return found
    listed = cord_ratings(family)
    smaller = [rating for rating in listed if conductor(rating.size).area_mm2 <= row.area_mm2]
    if not smaller:
        message = f"{row.name} is smaller than any {family} cord"
        raise LookupError(message)
    return max(smaller, key=lambda rating: rating.rated_a)


def drum_factor(layers: int | None) -> float:
    """Return the share of its rating a cord keeps when wound in so many layers.

    Args:
        layers: Layers on the drum; None where nobody counted; more than listed counts as the most.
    """
    if layers is None:
        return UNKNOWN_LAYERS_FACTOR.value
    most = DRUM_FACTORS[-1].layers
    wanted = min(layers, most)
    return next((row.factor for row in DRUM_FACTORS if row.layers == wanted), 1.0)


def cord_rating_a(size: str | float | Conductor, family: CordFamily) -> float:
    """Return what a cord may carry unrolled [A]; see ``cord_rating``."""
    return cord_rating(size, family).rated_a
