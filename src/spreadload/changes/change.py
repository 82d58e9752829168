"""One change to a job with what it costs in light, money and time."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum

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


AGREES: dict[ChangeKind, str] = {
    ChangeKind.BALLAST: "gaffer",
    ChangeKind.SWAP: "DP",
    ChangeKind.DROP: "DP and AD",
    ChangeKind.BATTERY: "the department",
    ChangeKind.GENERATOR: "production, locations and sound",
    ChangeKind.TURNS: "the departments",
    ChangeKind.TIME: "AD and the department",
    ChangeKind.OFF: "AD and the department",
    ChangeKind.AGREED_OFF: "owner (agreed)",
    ChangeKind.ASKED_OFF: "owner",
    ChangeKind.MOVE: "locations and AD",
    ChangeKind.LAST_RESORT: "gaffer",
    ChangeKind.LEAVE: "owner",
    ChangeKind.LEADS: "production",
    ChangeKind.OUTLET: "owner and production; licensed electrician",
    ChangeKind.ORDER: "AD and DP",
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
    """

    kind: ChangeKind
    words: str
    cost: Cost
    edit: Callable[[Job], Job]
    setup: str = ""
    partner: str = ""

    @property
    def agrees(self) -> str:
        """Who has to agree."""
        return AGREES[self.kind]


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
