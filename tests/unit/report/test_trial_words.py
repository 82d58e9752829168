"""A test in words: what it says can be done by a crew, and what it showed can be typed back."""

import re

import pytest

from builders import circuit, outlet, small_job
from spreadload.derived.facts import Facts
from spreadload.io.note_text import read_note
from spreadload.job.observations import Seen
from spreadload.report.trial_words import note_line, short_words, steps_of, trial_words
from spreadload.wiring.disturbance import Disturbance
from spreadload.wiring.trials import Trial, TrialKind

JOB = small_job(
    circuits={
        "P1": circuit(10.0, rcd="R1", label="FRONT"),
        "P2": circuit(10.0, rcd="R1", label="BACK"),
    },
    rcds={"R1": {"trips_at_ma": 30.0}},
    outlets={"O1": outlet("P1", "lounge"), "O2": outlet(None, "bed"), "O3": outlet(None, "bed")},
)
FACTS = Facts.of(JOB)
TRIALS = {
    TrialKind.BREAKER: Trial(TrialKind.BREAKER, ("P1",), ("O2", "O3")),
    TrialKind.SEVERAL: Trial(TrialKind.SEVERAL, ("P1", "P2"), ("O2", "O3")),
    TrialKind.RCD: Trial(TrialKind.RCD, ("P1", "P2"), ("O2", "O3"), rcd="R1"),
    TrialKind.LISTEN: Trial(TrialKind.LISTEN, ("P2",), ("O2",)),
    TrialKind.FILM: Trial(TrialKind.FILM, ("P2",), ("O2", "O3")),
    TrialKind.LOAD_STEP: Trial(TrialKind.LOAD_STEP, (), ("O2", "O3")),
    TrialKind.ASK: Trial(TrialKind.ASK, ("P1", "P2"), ("O2",), sure=4.0),
}
QUIET = Disturbance(is_allowed=True)


def filled(trial: Trial) -> str:
    """Return the line to type with what was seen put in: the first lamp dark, the rest lit."""
    line = note_line(trial).removeprefix("note JOB ")
    line = re.sub(r" \(of .*\)", "", line)
    if trial.kind is TrialKind.LOAD_STEP:
        return line.replace("... to ...", "238 to 230").replace("supply ...", "supply 5.5")
    if trial.kind is TrialKind.ASK:
        return line.replace("...", "P2")
    line = line.replace("dark ...", f"dark {trial.lamps[0]}")
    rest = " ".join(trial.lamps[1:])
    return line.replace("lit ...", f"lit {rest}") if rest else line.replace(", lit ...", "")


def test_every_kind_is_tried_here() -> None:
    """A kind added later has to be added above."""
    assert set(TRIALS) == set(TrialKind)


@pytest.mark.parametrize("kind", TRIALS)
def test_the_line_to_type_is_one_that_note_reads(kind: TrialKind) -> None:
    """Filled in, it becomes the observation that the test makes."""
    trial = TRIALS[kind]
    seen = read_note(filled(trial), JOB)
    if kind is TrialKind.LOAD_STEP:
        assert (seen.what, seen.loaded, seen.read) == (Seen.LOAD_STEP, "O2", "O3")
    elif kind is TrialKind.ASK:
        assert (seen.what, seen.dark, seen.circuits) == (Seen.STORY, ("O2",), ("P2",))
    elif kind is TrialKind.RCD:
        assert (seen.what, seen.rcd, seen.dark) == (Seen.RCD, "R1", ("O2",))
    else:
        assert (seen.what, seen.circuits) == (Seen.BREAKER_OFF, trial.off)
        assert seen.dark == ("O2",)
        assert seen.still_on == trial.lamps[1:]


@pytest.mark.parametrize("kind", TRIALS)
def test_no_step_is_behind_a_cover(kind: TrialKind) -> None:
    """Breakers, buttons, plugs and questions only; nothing is opened, removed or clamped."""
    words = " ".join(steps_of(TRIALS[kind], QUIET, FACTS)).lower()
    for forbidden in ("cover", "open", "remove", "screw", "clamp", "wire", "terminal", "busbar"):
        assert forbidden not in words


def test_leave_and_shutting_down_come_before_anything_goes_dark() -> None:
    """The owner is asked first, then electronics are shut down, then lamps are set."""
    what = Disturbance(is_allowed=True, ask_leave=("pump",), shut_down=("computer",), dark_min=1.0)
    steps = steps_of(TRIALS[TrialKind.BREAKER], what, FACTS)
    assert steps[0] == "Ask the owner first: may pump lose power for 1 min?"
    assert steps[1] == "Shut down properly first: computer."
    assert steps[2].startswith("Put a lamp")
    assert steps[3].startswith("Switch P1 “FRONT” off")
    assert steps[-1].startswith("Type it back: note JOB breaker P1 off: ")


def test_a_test_is_named_by_what_it_darkens() -> None:
    """Short in a row of names, longer in a sentence."""
    assert short_words(TRIALS[TrialKind.RCD], FACTS) == "R1"
    assert short_words(TRIALS[TrialKind.SEVERAL], FACTS) == "P1 with P2"
    assert short_words(TRIALS[TrialKind.LOAD_STEP], FACTS) == "O2 and O3"
    assert trial_words(TRIALS[TrialKind.BREAKER], FACTS) == "switch P1 “FRONT” off"
