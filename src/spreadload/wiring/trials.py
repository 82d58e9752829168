"""Tests that tell something of the wiring: what each may show, and what it takes.

Never a step with a cover off: breakers and buttons are worked, lamps and meters plugged in. Imports
its neighbours, the job and numpy only.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from spreadload.electrical.rows import Figure
from spreadload.wiring.maps import Maps

Floats = NDArray[np.float64]

_C = "common practice, no source"
LAMP_MIN = Figure(0.5, source=f"minutes to put one lamp in an outlet and take it back: {_C}")
SWITCH_MIN = Figure(
    1.0, source=f"minutes to switch off, call, read and switch on, two people: {_C}"
)
READ_MIN = Figure(0.1, source=f"minutes to read one lamp out on the radio: {_C}")
WALK_MIN = Figure(2.0, source=f"minutes from the board to the rooms and back, one person: {_C}")
STEP_MIN = Figure(5.0, source=f"minutes for one load-step reading with a heater: {_C}")
ASK_MIN = Figure(1.0, source=f"minutes for one question to the owner: {_C}")
STEP_SAME = Figure(0.7, source=f"chance that one circuit shows in a load step, less near it: {_C}")
STEP_APART = Figure(0.05, source=f"chance that two circuits look like one in a load step: {_C}")


class TrialKind(StrEnum):
    """Kinds of test."""

    BREAKER = "one breaker off"
    SEVERAL = "several breakers off at once"
    RCD = "RCD button"
    LISTEN = "one person, a radio in one outlet"
    FILM = "one person, a phone filming lamps in one room"
    LOAD_STEP = "load step with a meter"
    ASK = "ask the owner"


@dataclass(frozen=True)
class Trial:
    """One test.

    Attributes:
        off: Circuits that are dead during it; for a question, the circuits asked about.
        lamps: Outlets that are watched; for a load step the loaded outlet and the one read.
        rcd: The RCD whose button is pressed.
        minutes: What it takes, lamps included [min].
        sure: How far an answer can be trusted: how much likelier the truth is than any other
            answer; 0 for what is seen rather than told.
        walks: Whether whoever works the board has to walk to the lamps while it is dark.
    """

    kind: TrialKind
    off: tuple[str, ...] = ()
    lamps: tuple[str, ...] = ()
    rcd: str | None = None
    minutes: float = 0.0
    sure: float = 0.0
    walks: bool = False

    @property
    def darkens(self) -> bool:
        """Whether something loses its power."""
        return self.kind not in (TrialKind.LOAD_STEP, TrialKind.ASK)

    def with_lamps(self, lamps: tuple[str, ...]) -> "Trial":
        """Return the test with lamps in some outlets and the minutes that takes."""
        walk_min = WALK_MIN.value if self.walks else 0.0
        return replace(self, lamps=lamps, minutes=minutes_of(self.kind, len(lamps)) + walk_min)

    @property
    def dark_min(self) -> float:
        """How long what it darkens is dark [min]."""
        if not self.darkens:
            return 0.0
        # An RCD's button goes straight back in; what is behind it loses its power all the same.
        return SWITCH_MIN.value + (WALK_MIN.value if self.walks else 0.0)


def minutes_of(kind: TrialKind, lamps: int) -> float:
    """Return what one test takes [min]."""
    match kind:
        case TrialKind.LISTEN:
            return LAMP_MIN.value + WALK_MIN.value + SWITCH_MIN.value
        case TrialKind.FILM:
            return lamps * LAMP_MIN.value + WALK_MIN.value + SWITCH_MIN.value
        case TrialKind.LOAD_STEP:
            return STEP_MIN.value
        case TrialKind.ASK:
            return ASK_MIN.value
        case TrialKind.RCD:
            # The button has to be pressed once anyway; only the lamps are extra.
            return lamps * (LAMP_MIN.value + READ_MIN.value)
        case _:
            return lamps * (LAMP_MIN.value + READ_MIN.value) + SWITCH_MIN.value


def outcomes(trial: Trial, maps: Maps) -> Floats:
    """Return how likely each outcome is on each map: a row per outcome, a column per map."""
    if trial.kind is TrialKind.LOAD_STEP:
        return _step(trial, maps)
    if trial.kind is TrialKind.ASK:
        return _told(trial, maps)
    return one_hot(labels(trial, maps))


def labels(trial: Trial, maps: Maps) -> NDArray[np.intp]:
    """Return which outcome each map leads to, for a test that is seen for sure."""
    off = [n for n, c in enumerate(maps.circuits) if c in trial.off]
    lamps = [maps.outlets.index(o) for o in trial.lamps if o in maps.outlets]
    dark = np.isin(maps.on[:, lamps], off)
    _, label = np.unique(dark, axis=0, return_inverse=True)
    return label.ravel().astype(np.intp)


def one_hot(label: NDArray[np.intp]) -> Floats:
    """Return labels as rows of ones and zeros."""
    rows = np.zeros((int(label.max(initial=0)) + 1, len(label)))
    rows[label, np.arange(len(label))] = 1.0
    return rows


def _step(trial: Trial, maps: Maps) -> Floats:
    a, b = (maps.outlets.index(o) for o in trial.lamps)
    is_same = maps.on[:, a] == maps.on[:, b]
    shows = np.where(is_same, STEP_SAME.value, STEP_APART.value)
    return np.stack([shows, 1 - shows])


def _told(trial: Trial, maps: Maps) -> Floats:
    """Return the answers of somebody who remembers what a circuit fed, mostly rightly."""
    column = maps.on[:, maps.outlets.index(trial.lamps[0])]
    numbers = [maps.circuits.index(c) for c in trial.off]
    right = trial.sure / (trial.sure + len(numbers) - 1)
    wrong = (1 - right) / max(len(numbers) - 1, 1)
    return np.stack([np.where(column == n, right, wrong) for n in numbers])
