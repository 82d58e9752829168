"""The answer in one line: it fits, it fits only if something is off, it cannot, or not decided."""

from collections import defaultdict
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import assert_never

from spreadload.derived.facts import Facts
from spreadload.explain.names import device_name
from spreadload.job.red_flags import open_flags, until_cleared
from spreadload.plan import (
    Chance,
    Impossible,
    Outcome,
    Plan,
    Solved,
    Undecided,
    Usage,
    Verdict,
    chance_shown,
)
from spreadload.practice.forecasts import forecast_like
from spreadload.words import count_of, in_setup, row, setup_names

MOSTLY_PCT = 50
_KIND = "the wiring is kind"
_ON_THE_WIRING = "what is fullest depends on the wiring"


class Says(StrEnum):
    """The kinds of answer."""

    FITS = "fits"
    FITS_ONLY_IF = "fits only if"
    CANNOT = "cannot"
    NOT_DECIDED = "not decided"
    HOLDS = "holds"
    BREAKS = "breaks"


@dataclass(frozen=True)
class Answer:
    """The first line.

    Attributes:
        says: What kind of answer it is.
        text: The whole line, without a full stop.
        tightest: The fullest device of the plan in the answer, or None.
        red_flags: What a licensed electrician has to look at before the plan is powered.
    """

    says: Says
    text: str
    tightest: Usage | None = None
    red_flags: tuple[str, ...] = ()


def answer(facts: Facts, outcome: Outcome) -> Answer:
    """Return the answer to “does it fit?”."""
    match outcome:
        case Solved():
            fitting = _fits(facts, *outcome.plans[0], chance_shown(outcome))
            return _until_cleared(facts, fitting)
        case Impossible():
            cannot = f"CANNOT RUN AS ASKED: {outcome.reason}"
            return Answer(Says.CANNOT, cannot, red_flags=_open(facts))
        case Undecided():
            undecided = f"NOT DECIDED: {outcome.reason}"
            return Answer(Says.NOT_DECIDED, undecided, red_flags=_open(facts))
        case _ as never:
            assert_never(never)


def kept_answer(facts: Facts, plan: Plan, verdict: Verdict, chance: Chance | None) -> Answer:
    """Return the answer to “does it fit?” for a plan kept from before, as for a new one."""
    if not verdict.holds:
        return check_answer(facts, plan, verdict, chance)
    return _until_cleared(facts, _fits(facts, plan, verdict, chance))


def check_answer(
    facts: Facts, plan: Plan, verdict: Verdict, chance: Chance | None = None
) -> Answer:
    """Return the answer to “does this plan hold?”."""
    tightest = fullest(verdict)
    if verdict.holds:
        dark = f" with {count_of(len(plan.left_out), 'head')} left dark" if plan.left_out else ""
        luck = f" ONLY IF {needed}" if (needed := luck_needed(chance)) else ""
        words = lucky_words(facts, tightest, chance)
        holds = f"HOLDS{luck}{dark}: {words}"
        return _until_cleared(facts, Answer(Says.HOLDS, holds, tightest))
    first, rest = verdict.violations[0], len(verdict.violations) - 1
    more = f"; and {rest} more" if rest else ""
    return Answer(Says.BREAKS, f"BREAKS A LIMIT: {first.text}{more}", tightest, _open(facts))


def fullest(verdict: Verdict) -> Usage | None:
    """Return the fullest of all devices, contract and neutral, or None without any."""
    every = (*verdict.usages, *verdict.contract, *verdict.neutral)
    with_plugs = (usage for usage in every if usage.takes_plugs)
    return max(with_plugs, key=lambda usage: usage.used_pct, default=None)


def tightest_words(facts: Facts, usage: Usage | None) -> str:
    """Return ``tightest is P1 “PLUGS” at 87 % in SU2``."""
    if usage is None or usage.used_pct == 0:
        return _ON_THE_WIRING if facts.is_left_to_maps else "nothing is loaded"
    return f"tightest is {device_name(facts, usage)} at {usage.used_pct} %{in_setup(usage.setup)}"


def off_words(plan: Plan) -> str:
    """Return ``hot water is off in SU2 and SU3``, or "" when nothing is switched off."""
    setups: dict[str, list[str]] = defaultdict(list)
    for entry in plan.switched_off:
        setups[entry.load].append(entry.setup)
    together: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for load, named in setups.items():
        together[tuple(named)].append(load)
    return " and ".join(
        f"{row(loads)} {'is' if len(loads) == 1 else 'are'} off in {setup_names(named)}"
        for named, loads in together.items()
    )


def _open(facts: Facts) -> tuple[str, ...]:
    return tuple(str(flag) for flag in open_flags(facts.job))


def _until_cleared(facts: Facts, answer: Answer) -> Answer:
    """Return an answer that promises nothing while a red flag is open."""
    flags = _open(facts)
    return replace(answer, text=until_cleared(answer.text, flags), red_flags=flags)


def _fits(facts: Facts, plan: Plan, verdict: Verdict, chance: Chance | None) -> Answer:
    """Return the answer for a plan that holds, with everything that it hangs on."""
    tightest = fullest(verdict)
    luck, words = luck_needed(chance), lucky_words(facts, tightest, chance)
    conditions = (luck, _dark_words(plan), off_words(plan))
    if only_if := " and ".join(filter(None, conditions)):
        return Answer(Says.FITS_ONLY_IF, f"FITS ONLY IF {only_if}: {words}", tightest)
    return Answer(Says.FITS, f"FITS: {words}", tightest)


def lucky_words(facts: Facts, usage: Usage | None, chance: Chance | None) -> str:
    """Return what is tightest, as far as that can be told.

    What is sure to be on something may be the least of it where most wirings are over a limit.
    """
    return _ON_THE_WIRING if luck_needed(chance) == _KIND else tightest_words(facts, usage)


def luck_needed(chance: Chance | None) -> str:
    """Return what the wiring has to be where a plan fails more often than not, else "".

    That is where volts alone fail on most of the wirings, and where most plans with such a chance
    failed on the simulated houses.
    """
    if chance is None or chance.certificate:
        return ""
    if chance.volts_pct >= MOSTLY_PCT:
        return "the wiring is kinder to the volts than is likely"
    like = forecast_like(chance.fails_pct)
    held_seldom = like is not None and like.failed_pct >= MOSTLY_PCT
    return _KIND if held_seldom or chance.fails_pct >= MOSTLY_PCT else ""


def _dark_words(plan: Plan) -> str:
    """Return ``1 head stays dark``, or "" when every head is lit."""
    dark = len(plan.left_out)
    return f"{count_of(dark, 'head')} {'stays' if dark == 1 else 'stay'} dark" if dark else ""
