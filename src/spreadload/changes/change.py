"""One change to a job with what it costs in light, money and time."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from itertools import chain

from spreadload.job.costs import Costs
from spreadload.job.job import Job

_LOWEST_PRIORITY = 9
_HUNDRED_W = 100


class ChangeKind(StrEnum):
    """Changes that are of one kind to the people who have to agree to them."""

    BALLAST = "corrected ballast"
    SWAP = "another head"
    DROP = "head left dark"
    BATTERY = "battery"
    GENERATOR = "generator"
    TURNS = "take turns"
    TIME = "another time"
    OFF = "department does without"
    AGREED_OFF = "switched off as agreed"
    ASKED_OFF = "house load kept off"
    MOVE = "another room"
    LAST_RESORT = "last resort"
    LEAVE = "owner's leave"
    LEADS = "more leads"
    OUTLET = "new outlet"
    ORDER = "order of the day"


# Whose load it is that a change is about: a department, or the owner.
_ITS_OWN = "whose load it is"
_AGREES: dict[ChangeKind, tuple[str, ...]] = {
    ChangeKind.BALLAST: ("gaffer",),
    ChangeKind.SWAP: ("DP",),
    ChangeKind.DROP: ("DP", "AD"),
    ChangeKind.BATTERY: (_ITS_OWN,),
    ChangeKind.GENERATOR: ("production", "locations", "sound"),
    ChangeKind.TURNS: (_ITS_OWN,),
    ChangeKind.TIME: ("AD", _ITS_OWN),
    ChangeKind.OFF: ("AD", _ITS_OWN),
    ChangeKind.AGREED_OFF: (_ITS_OWN,),
    ChangeKind.ASKED_OFF: ("owner",),
    ChangeKind.MOVE: ("locations", "AD", _ITS_OWN),
    ChangeKind.LAST_RESORT: ("gaffer",),
    ChangeKind.LEAVE: ("owner",),
    ChangeKind.LEADS: ("production",),
    ChangeKind.OUTLET: ("owner", "production", "licensed electrician"),
    ChangeKind.ORDER: ("AD", "DP"),
}


@dataclass(frozen=True)
class Cost:
    """What something costs.

    Attributes:
        light_w: Watts of light lost, summed over the set-ups that lose it.
        money: In the job's own currency.
        minutes: Of the day.
        price: All of it in money at the job's rates; only good for ranking.
    """

    light_w: int = 0
    money: float = 0.0
    minutes: float = 0.0
    price: float = 0.0

    def __add__(self, other: "Cost") -> "Cost":
        """Return both together."""
        return Cost(
            self.light_w + other.light_w,
            self.money + other.money,
            self.minutes + other.minutes,
            self.price + other.price,
        )


@dataclass(frozen=True)
class Change:
    """One thing to do differently.

    Attributes:
        kind: What sort of change it is.
        words: The change in one clause.
        cost: What it costs.
        edit: What it does to the job.
        setup: Set-up it is about, or "" for the whole day.
        partner: Load it takes turns with, or "".
        whose: Those whose loads it is about: departments, the owner, or the gaffer.
    """

    kind: ChangeKind
    words: str
    cost: Cost
    edit: Callable[[Job], Job]
    setup: str = ""
    partner: str = ""
    whose: tuple[str, ...] = ()

    @property
    def agrees(self) -> tuple[str, ...]:
        """Who has to agree, each named once."""
        named = (self.whose if who == _ITS_OWN else (who,) for who in _AGREES[self.kind])
        return tuple(dict.fromkeys(chain.from_iterable(named)))

    @property
    def is_agreed(self) -> bool:
        """Whether those who have to agree have done so already."""
        return self.kind is ChangeKind.AGREED_OFF


def whose(job: Job, load: str) -> str:
    """Return who has a say in a load: its department, the owner, or the gaffer for a head."""
    if load in job.departments:
        return job.departments[load].by or "its department"
    return "owner" if load in job.house else "gaffer"


def price_of(
    costs: Costs,
    *,
    money: float = 0.0,
    minutes: float = 0.0,
    light_w: float = 0.0,
    priority: int = _LOWEST_PRIORITY,
    is_dark: bool = False,
) -> Cost:
    """Return the cost of a change at a job's rates.

    Args:
        costs: The job's rates.
        money: Paid out.
        minutes: Of the day.
        light_w: Watts of light lost; a gain counts as no loss.
        priority: Of the head that loses it, 1 to 9.
        is_dark: Whether the head is left dark altogether.
    """
    lost_w = max(0.0, light_w)
    each = costs.light_per_100_w * (_LOWEST_PRIORITY + 1 - priority)
    light = lost_w / _HUNDRED_W * each * (costs.dark_factor if is_dark else 1.0)
    price = money + minutes * costs.minute + light
    return Cost(round(lost_w), money, minutes, price)


def total_cost(costs: Iterable[Cost]) -> Cost:
    """Return several costs together."""
    return sum(costs, start=Cost())
