"""Everything that can leave outlets dark, with the sign that tells it from the rest.

Never imports the solver.
"""

from dataclasses import dataclass
from enum import StrEnum

from spreadload.plan import Placement


class Cause(StrEnum):
    """Everything that can leave outlets dark."""

    CUT_OUT = "cut-out of a power board"
    PLUG_FUSE = "plug fuse"
    ITEM = "the item itself, its lead or a wall switch"
    GFCI = "GFCI outlet"
    BREAKER = "breaker"
    FUSE = "fuse"
    ARC_FAULT = "arc-fault breaker"
    RCBO = "combined breaker and RCD"
    RCD = "RCD"
    FEED = "feed of a sub-board"
    MAIN = "main breaker"
    SERVICE_FUSE = "service fuse"
    METER = "meter of the supply contract"
    PHASE = "lost phase"
    NEUTRAL = "broken neutral"
    NETWORK = "network outage"


@dataclass(frozen=True)
class Sign:
    """How a cause is told from the others, and what to do about it.

    Attributes:
        usual: How usual it is against a breaker; only good for ranking.
    """

    cause: Cause
    usual: float
    sign: str
    do: str
    source: str


_C = "common practice, no source"
SIGNS: dict[Cause, Sign] = {
    row.cause: row
    for row in (
        Sign(Cause.CUT_OUT, 0.6, "only what hangs on that power board is dead, its button is out, "
             "and the other half of the outlet still works",
             "move one item to another outlet, then press the button once", _C),
        Sign(Cause.PLUG_FUSE, 0.4, "one plug is dead and its neighbour in the same plate works",
             "unplug it; a new fuse of the same rating, never a bigger one", _C),
        Sign(Cause.ITEM, 0.3, "only that one is dead; another lamp works in the same socket",
             "try another lamp in the same socket; a fault of its own stays unplugged", _C),
        Sign(Cause.GFCI, 0.4, "its button is out, no handle is down at the board; outlets wired "
             "behind it are dead too",
             "unplug, dry, move electronic ballasts to other feeds, then reset it bare", _C),
        Sign(Cause.BREAKER, 1.0, "one handle at the board is down or half way",
             "take load off before it goes back up, once", _C),
        Sign(Cause.FUSE, 1.0, "no handle: the fuse of that way is blown",
             "take load off; the same rating only, and whoever may open the board fits it", _C),
        Sign(Cause.ARC_FAULT, 0.8, "one handle with a test button is down",
             "move the dimmer, driver or motor on it; a bad contact if it goes again bare", _C),
        Sign(Cause.RCBO, 0.8, "one handle with a test button is down: too many amps or leakage",
             "take load off; if it goes again bare it is leakage", _C),
        Sign(Cause.RCD, 0.35, "one wider handle with a test button is down, several circuits dead",
             "unplug the newest first; reset with nothing plugged in; add one by one", _C),
        Sign(Cause.FEED, 0.3, "everything behind one sub-board is dead, the handle that feeds it "
             "is down, the rest of the house is lit",
             "switch everything behind it off; feed on; bring up in order", _C),
        Sign(Cause.MAIN, 0.15, "everything is dead, the main handle is down, the street is lit",
             "switch everything off; main on; bring up in order", _C),
        Sign(Cause.SERVICE_FUSE, 0.03, "everything is dead, every handle is up, neighbours are lit",
             "stop. Only the network operator replaces it, and that takes hours; switch everything "
             "off", _C),
        Sign(Cause.METER, 0.5, "everything is dead and the meter's display says so",
             "shed load, then re-arm at the meter", _C),
        Sign(Cause.PHASE, 0.05, "a third or half of the board is dead, no handle is down, and "
             "nothing lit got brighter",
             "switch off what is dead; if anything got brighter: main off at once, unplug "
             "everything; network operator or licensed electrician", _C),
        Sign(Cause.NEUTRAL, 0.01, "some lamps got brighter while others got dim or went out; no "
             "handle is down",
             "main off at once, unplug everything, licensed electrician", _C),
        Sign(Cause.NETWORK, 0.05, "the street is dark too",
             "wait; switch everything off so that it does not all start at once", _C),
    )
}  # fmt: skip

OF_A_CIRCUIT = frozenset({Cause.BREAKER, Cause.FUSE, Cause.ARC_FAULT, Cause.RCBO})
# Leakage or what looks like an arc opens these with few amps on them.
NOT_OF_AMPS_ALONE = frozenset({Cause.RCBO, Cause.ARC_FAULT})
OF_A_SOCKET = frozenset({Cause.CUT_OUT, Cause.PLUG_FUSE})
OF_LEAKAGE = frozenset({Cause.RCD, Cause.GFCI})
OF_EVERYTHING = frozenset({Cause.MAIN, Cause.SERVICE_FUSE, Cause.METER, Cause.NETWORK})
NO_HANDLE = frozenset(
    {
        *OF_A_SOCKET,
        Cause.ITEM,
        Cause.GFCI,
        Cause.FUSE,
        Cause.SERVICE_FUSE,
        Cause.METER,
        Cause.PHASE,
        Cause.NEUTRAL,
        Cause.NETWORK,
    }
)
# What somebody at the board may say that is no name of the job, with the causes it leaves.
NO_HANDLE_DOWN = "none"
SAID: dict[str, frozenset[Cause]] = {
    NO_HANDLE_DOWN: NO_HANDLE,
    "main": frozenset({Cause.MAIN}),
    "meter": frozenset({Cause.METER}),
    "service fuse": frozenset({Cause.SERVICE_FUSE}),
    "network": frozenset({Cause.NETWORK}),
    "cut-out": frozenset({Cause.CUT_OUT}),
    "plug fuse": frozenset({Cause.PLUG_FUSE}),
}


# Below this share a cause is not told.
LEAST_TOLD = 0.02


@dataclass(frozen=True)
class Opened:
    """One cause with how likely it is.

    Attributes:
        cause: What kind of thing.
        device: Circuit, RCD, sub-board, phase or outlet id; "" for the whole house.
        share: How likely among all causes that fit.
    """

    cause: Cause
    device: str
    share: float

    @property
    def sign(self) -> Sign:
        """How it is told from others."""
        return SIGNS[self.cause]


@dataclass(frozen=True)
class Seen:
    """What was found after a circuit went down.

    Attributes:
        dark: Outlets found dead.
        lit: Outlets found working.
        dark_units: Units found dead, where they were named rather than outlets.
        lit_units: Units found working.
        just: Load just switched on, by id, or None.
        bright: Outlets where lamps got brighter.
    """

    dark: tuple[str, ...]
    lit: tuple[str, ...] = ()
    dark_units: tuple[Placement, ...] = ()
    lit_units: tuple[Placement, ...] = ()
    just: str | None = None
    bright: tuple[str, ...] = ()
