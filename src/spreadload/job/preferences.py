"""The soft rules in their order and every number the rules use that a job may change."""

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from spreadload.job.base import Fraction, Metres, Percent, Stated, Watts


class Goal(StrEnum):
    """The soft rules, in their usual order of importance."""

    KEEP_HEADS = "keep heads"
    KEEP_HOUSE_ON = "keep house on"
    DISCHARGE_APART = "discharge apart"
    LAST_RESORT = "last resort"
    HEAT_APART = "heat apart"
    LIGHT_STAYS = "light stays"
    LEAKAGE_GUIDE = "leakage guide"
    TIGHTEST = "tightest"
    EACH_SETUP = "each set-up"
    BALANCE = "balance"
    REPLUGS = "replugs"
    CABLE = "cable"


class Route(Stated):
    """How a lead's length follows from the plan of the house."""

    detour: Annotated[float, Field(ge=1, le=4)] | None = None
    slack_m: Metres | None = None
    per_floor_m: Metres | None = None
    same_room_m: Metres | None = None
    other_room_m: Metres | None = None


class Rules(Stated):
    """Order of the soft rules, which are switched off, and the thresholds."""

    order: tuple[Goal, ...] = tuple(Goal)
    off: tuple[Goal, ...] = ()
    big_discharge_w: Watts = 1200.0
    leakage_guide_pct: Percent | None = None
    leakage_may_trip_pct: Percent | None = None
    lead_drop_pct: Percent | None = None
    total_drop_pct: Percent | None = None
    comfort_pct: Percent | None = None
    # A warm breaker opens sooner: 80 to 90 % of its rating; common practice, no source.
    warm_aim_pct: Percent = 80.0
    warm_most_pct: Percent = 90.0
    single_load_fraction: Fraction | None = None
    route: Route = Route()

    @property
    def warm_tiers_pct(self) -> tuple[float, float]:
        """What a device that opened should be brought back under, the better figure first [%]."""
        return min(self.warm_aim_pct, self.warm_most_pct), self.warm_most_pct

    @property
    def goals(self) -> tuple[Goal, ...]:
        """The soft rules in force, most important first; any not named keep their usual order."""
        named = [goal for goal in self.order if goal not in self.off]
        rest = [goal for goal in Goal if goal not in self.order and goal not in self.off]
        return tuple(dict.fromkeys(named + rest))
