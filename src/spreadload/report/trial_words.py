"""A test of the wiring in words: what it is, how to make it, how to type back what it showed."""

from spreadload.derived.facts import Facts
from spreadload.explain.names import circuit_name
from spreadload.wiring.disturbance import Disturbance
from spreadload.wiring.trials import Trial, TrialKind
from spreadload.words import row


def trial_words(trial: Trial, facts: Facts) -> str:
    """Return a test in a few words."""
    names = circuit_names(trial, facts)
    lamps = row(trial.lamps)
    return {
        TrialKind.BREAKER: f"switch {names} off",
        TrialKind.SEVERAL: f"switch {names} off together",
        TrialKind.RCD: f"press {trial.rcd}, which has to be tested anyway",
        TrialKind.LISTEN: f"listen for a radio in {lamps}, {names} off",
        TrialKind.FILM: f"film lamps with a phone, {names} off",
        TrialKind.LOAD_STEP: f"load step at {lamps}",
        TrialKind.ASK: f"ask the owner about {lamps}",
    }[trial.kind]


def short_words(trial: Trial, facts: Facts) -> str:
    """Return what a test darkens, in a word or two."""
    if trial.rcd is not None:
        return trial.rcd
    if trial.kind is TrialKind.SEVERAL:
        return " with ".join(trial.off)
    return circuit_names(trial, facts) or row(trial.lamps)


def circuit_names(trial: Trial, facts: Facts) -> str:
    """Return the circuits of a test as they stand on the board."""
    return row([circuit_name(facts, c) for c in trial.off])


def lamp_words(trial: Trial) -> str:
    """Return where the lamps of a test go; "" where it needs none."""
    needs = trial.kind in (TrialKind.BREAKER, TrialKind.SEVERAL, TrialKind.RCD, TrialKind.FILM)
    return f"lamps {' '.join(trial.lamps)}" if needs and trial.lamps else ""


def steps_of(trial: Trial, what: Disturbance, facts: Facts) -> list[str]:
    """Return how to go about a test, a sentence each; never a step with a cover off."""
    said = []
    if what.ask_leave:
        loads = row(what.ask_leave)
        said.append(f"Ask the owner first: may {loads} lose power for {what.dark_min:.0f} min?")
    if what.shut_down:
        said.append(f"Shut down properly first: {row(what.shut_down)}.")
    return [*said, *_doing(trial, facts), f"Type it back: {note_line(trial)}"]


def _doing(trial: Trial, facts: Facts) -> list[str]:
    lamps, names = row(trial.lamps), circuit_names(trial, facts)
    lit = f"Put a lamp that shows from afar into {lamps}; see all of them lit."
    match trial.kind:
        case TrialKind.ASK:
            return [f"Ask: when {row(trial.off, 'or')} last tripped, did {lamps} go dark?"]
        case TrialKind.LOAD_STEP:
            a, b = trial.lamps
            read = f"Read volts at {b} and near the board, put a 2 kW heater into {a}, read again."
            return [read, "Never leave it alone, never use a loose or scorched outlet."]
        case TrialKind.LISTEN:
            return [f"Play a radio loud in {lamps}, switch {names} off, listen, on again."]
        case TrialKind.FILM:
            return [lit, f"Film them with a phone; switch {names} off at a noted time, on again."]
        case TrialKind.RCD:
            back = "walk round, read what is dark" if trial.walks else "read out what went dark"
            return [lit, f"Press the test button of {trial.rcd}, {back}, put it back on."]
        case _:
            return [lit, f"Switch {names} off, say its name, read out what went dark, on again."]


def note_line(trial: Trial) -> str:
    """Return the line that takes down what a test showed."""
    lamps = " ".join(trial.lamps)
    match trial.kind:
        case TrialKind.RCD:
            return f"note JOB rcd {trial.rcd}: dark ..., lit ... (of {lamps})"
        case TrialKind.ASK:
            return f"note JOB told {lamps} on ..."
        case TrialKind.LOAD_STEP:
            a, b = trial.lamps
            return f"note JOB step 8.7 A at {a}, read {b}: ... to ..., supply ..."
        case _:
            return f"note JOB breaker {' '.join(trial.off)} off: dark ..., lit ... (of {lamps})"
