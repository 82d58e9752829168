"""How one search ended. Loads nothing, so that anyone may ask."""

from enum import Enum, auto


class Found(Enum):
    """What a staged search ended with."""

    BEST = auto()
    GOOD = auto()
    NOTHING = auto()
    NONE_EXISTS = auto()
    CORE_FAILED = auto()
