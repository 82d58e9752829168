"""Volts in a plan's text, present with readings and absent without."""

import pytest

from builders import amps, job_of, plan_of, put, setup, small_job
from rule_cases.volts import near_and_far
from spreadload.app.planning import SolverConfig, plan_job
from spreadload.app.what_if import offers_of
from spreadload.check import judge
from spreadload.plan import Verdict
from spreadload.report.style import Style
from spreadload.report.volts_section import least_volts, over_on_volts, volts_section


def told(point: str, **supply: object) -> Verdict:
    """Return the verdict on a lamp at an outlet near or far."""
    data = near_and_far(16.0, min_v=228.0)
    data["supply"] = data["supply"] | supply
    return judge(job_of(data), plan_of(put("lamp", point, place="lounge")))


def test_the_least_volts_name_head_set_up_and_board() -> None:
    """One clause for the top of a plan."""
    words = least_volts(told("O1"))
    assert words is not None
    assert words.startswith("Least volts: 23")
    assert "in SU1" in words
    assert "at the board" in words


def test_without_readings_nothing_is_said() -> None:
    """No volts, no section and no clause."""
    blind = told("O1", readings=[])
    assert least_volts(blind) is None
    assert volts_section(blind, Style()) == []


def test_what_is_missing_is_told_head_by_head() -> None:
    """A head at the far outlet is told with what it gets and what it needs."""
    (said,) = over_on_volts(told("O2"))
    assert said.startswith("lamp 1 gets 2")
    assert "228.0 V in SU1" in said


def test_a_set_up_is_named_once_for_all_heads_it_starves() -> None:
    """Five heads in one set-up are one clause, not five with the same end."""
    verdict = told("O2")
    (first,) = [each for each in verdict.violations if each.rule == "volts"]
    both = verdict.model_copy(
        update={"violations": (first, first.model_copy(update={"where": "lamp 2"}))}
    )
    (said,) = over_on_volts(both)
    assert said.count("in SU1") == 1
    assert "lamp 2 gets 2" in said


def test_the_section_lists_every_head_and_the_notes() -> None:
    """Board volts, amps and each head's volts stand in one line per set-up."""
    text = "\n".join(volts_section(told("O2"), Style()))
    assert "SU1: board" in text
    assert "lamp 2" in text


def test_units_with_the_same_volts_stand_in_one_entry() -> None:
    """Three lamps at one outlet and a fourth elsewhere: their numbers, and the volts once each."""
    verdict = told("O2")
    (seen,) = verdict.volts
    (lamp,) = [unit for unit in seen.units if unit.load == "lamp"]
    near = [lamp.model_copy(update={"unit": n, "volts": 221.04}) for n in (1, 2, 3)]
    far = lamp.model_copy(update={"unit": 5, "volts": 219.5})
    sole = lamp.model_copy(update={"load": "fan", "unit": 1, "volts": 230.0})
    more = verdict.model_copy(
        update={"volts": (seen.model_copy(update={"units": (*near, sole, far)}),), "notes": ()}
    )
    (_, _, line) = volts_section(more, Style())
    assert line.endswith("; lamp #5 219.5, lamp #1-3 221.0, fan 230.0")


def test_a_set_up_of_a_bare_number_is_called_one() -> None:
    """Beside `board 227.4 V`, `1:` would be read as a count."""
    verdict = told("O2")
    (seen,) = verdict.volts
    numbered = verdict.model_copy(update={"volts": (seen.model_copy(update={"setup": "1"}),)})
    assert "  set-up 1: board 2" in "\n".join(volts_section(numbered, Style()))


@pytest.mark.parametrize(("second_v", "is_disputed"), [(229.0, True), (222.0, False)])
def test_a_no_on_volts_says_that_the_readings_contradict_each_other(
    second_v: float, *, is_disputed: bool
) -> None:
    """230 V fall to 222 at 9 A, 0.89 ohm, or to 229, 0.11 ohm: both cannot be.

    By hand: two lamps of 8 A bring the board to 230 - 16 x 0.89 = 215.8 V, and 225 are asked for;
    with 0.11 ohm it would be 228.2 V and a yes. Whoever reads the no has to know that first.
    """
    readings = [
        {"at": "board", "idle_v": 230.0, "loaded_v": volts, "load_a": 9.0}
        for volts in (222.0, second_v)
    ]
    job = small_job(
        supply={"limit_a": 63.0, "planning_v": 230.0, "min_v": 225.0, "readings": readings},
        heads={"lamp": amps(8.0, count=2)},
        setups=[setup(lamp={"lounge": 1, "bed": 1})],
    )
    quick = SolverConfig(time_limit_s=5.0, alternatives=0)
    for said in (plan_job(job, quick).text(is_brief=True), offers_of(job, quick).text()):
        top = " ".join(said.split("\n\n", maxsplit=1)[0].split())
        assert top.startswith("CANNOT RUN AS ASKED: every breaker says yes, the volts say no")
        assert ("The readings contradict each other" in top) is is_disputed
