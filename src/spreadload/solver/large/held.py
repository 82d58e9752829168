"""What earlier goals hold while units are dealt out so that cable is short."""

from collections.abc import Mapping
from dataclasses import dataclass

from spreadload.job.preferences import Goal


@dataclass(frozen=True)
class Held:
    """What earlier goals hold, as far as it says something of single circuits.

    Attributes:
        percents: How full the fullest device of each set-up may be.
        moves: What re-plugs may cost; None when they do not count.
        one_big: Whether no circuit may carry two big discharge units.
        uneven_a: Amps between phases in all set-ups, in whole steps; None when they do not count.
    """

    percents: Mapping[str, int]
    moves: int | None
    one_big: bool
    uneven_a: int | None = None

    @classmethod
    def of(cls, percents: Mapping[str, int], reached: Mapping[Goal, int]) -> "Held":
        """Return what is held where circuits may be so full and goals came to so much.

        Args:
            percents: How full the fullest device of each set-up may be.
            reached: What each goal before the cable reached.
        """
        return cls(
            percents,
            reached.get(Goal.REPLUGS),
            reached.get(Goal.DISCHARGE_APART) == 0,
            reached.get(Goal.BALANCE),
        )
