"""Sheets, and what they are made from, of plans written by hand."""

from dataclasses import replace

from builders import amps, plan_of, put, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.explain.answer import check_answer
from spreadload.explain.briefing import Briefing, brief
from spreadload.explain.first_moves import FirstMove, first_moves
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.sheet import Made, Sheet, sheet
from spreadload.job.job import Job
from spreadload.plan import Placement

# The tabs of the page, in their order.
TABS = ("now", "trip", "map", "plan", "lists")
MADE = Made("today", "r1", "0123456789abcdef")


def briefed(job: Job, *placements: Placement) -> Briefing:
    """Explain a plan written by hand."""
    facts = Facts.of(job)
    return brief(facts, Judge(facts), plan_of(*placements))


def sheet_of(job: Job, *placements: Placement, moves: tuple[FirstMove, ...] = ()) -> Sheet:
    """Return the sheet of a plan written by hand."""
    told = briefed(job, *placements)
    answer = check_answer(told.judged.facts, told.judged.plan, told.judged.verdict)
    return sheet(replace(told, first_moves=moves or first_moves(told)), answer, MADE)


def judged_of(job: Job, *placements: Placement) -> JudgedPlan:
    """Judge a plan written by hand, the empty one if nothing is placed."""
    facts = Facts.of(job)
    return JudgedPlan.of(facts, Judge(facts), plan_of(*placements))


def two_setups() -> Job:
    """A lamp of 4 A by day, and it with a 5 A one by night."""
    return small_job(
        heads={"lamp": amps(4.0), "spot": amps(5.0)},
        setups=[
            {"id": "SU1", "heads": {"lamp": "lounge"}},
            {"id": "SU2", "heads": {"lamp": "lounge", "spot": "lounge"}},
        ],
    )


def day(second: str) -> tuple[Placement, ...]:
    """Place the lamp at O1 all day and the spot at a given outlet."""
    return (
        put("lamp", "O1", place="lounge"),
        put("lamp", "O1", name="SU2", place="lounge"),
        put("spot", second, name="SU2", place="lounge", socket=2 if second == "O1" else 1),
    )
