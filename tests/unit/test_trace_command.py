"""Tracing from the job to the answer and back through the log, on a terrace house."""

import json
import shutil
from functools import cache
from itertools import product
from pathlib import Path

import pytest
from typer.testing import CliRunner

from spreadload.app.loaded import Day, load_day
from spreadload.app.note import note
from spreadload.app.trace import TraceSaid, trace
from spreadload.cli import cli
from spreadload.errors import ExitCode, InputError
from spreadload.io.job_file import load_job
from spreadload.plan import Impossible, Solved
from spreadload.report.trace_answer import TraceSays
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.robust.least_risk import find_robust_plans
from spreadload.solver.tracing.worth import Tracing
from spreadload.wiring.maps import listed_maps
from spreadload.wiring.model import WiringModel
from spreadload.wiring.trials import TrialKind

pytestmark = pytest.mark.slow

TERRACE = Path(__file__).parents[1] / "jobs" / "terrace_not_traced.yaml"
CONFIG = SolverConfig(time_limit_s=60.0, alternatives=0)


def day_in(folder: Path, *, more: str = "") -> Day:
    """Return the terrace house in a folder of its own, with more lines at the end of the job."""
    path = folder / "job.yaml"
    shutil.copy(TERRACE, path)
    with path.open("a", encoding="utf-8") as file:
        file.write(more)
    return load_day(folder)


def traced(day: Day, **said: object) -> Tracing:
    """Return what is said of a house."""
    told = trace(day, TraceSaid(**said), CONFIG)  # type: ignore[arg-type]
    assert told.answer.tracing is not None
    return told.answer.tracing


@cache
def terrace() -> Tracing:
    """Return what is said of the terrace house as it stands."""
    return traced(load_day(TERRACE))


def test_the_best_test_is_the_best_per_minute() -> None:
    """No other test allowed gains more a minute, asking aside; it is worth more than a point."""
    found = terrace()
    assert found.best is not None
    others = [w for w in found.worths if w.trial.kind is not TrialKind.ASK]
    assert found.best.per_minute == max(w.per_minute for w in others)
    assert found.best.gain > 0.1
    assert found.known <= found.best.after <= found.now


def test_after_the_test_the_plan_is_as_good_as_was_said(tmp_path: Path) -> None:
    """Every outcome noted and planned anew: on average as many plans trip as was foretold."""
    best = terrace().best
    assert best is not None
    job = load_job(TERRACE)
    maps = listed_maps(WiringModel.of(job))
    left = 0.0
    for number, dark in enumerate(product([False, True], repeat=len(best.trial.lamps))):
        wirings = [maps.map(n) for n in range(len(maps))]
        fits = [
            all((w[o] in best.trial.off) is d for o, d in zip(best.trial.lamps, dark, strict=True))
            for w in wirings
        ]
        chance = float(maps.weights[fits].sum())
        if chance == 0:
            continue
        (tmp_path / str(number)).mkdir()
        day = day_in(tmp_path / str(number))
        seen = dict(zip(best.trial.lamps, dark, strict=True))
        words = f"rcd {best.trial.rcd}: dark {' '.join(o for o, d in seen.items() if d)}"
        words += f" lit {' '.join(o for o, d in seen.items() if not d)}"
        after = note(day, words).day
        outcome = find_robust_plans(WiringModel.of(after.job, after.log), CONFIG)
        assert isinstance(outcome, Solved | Impossible)
        left += chance * (outcome.chances[0].fails_pct if isinstance(outcome, Solved) else 100.0)
    assert left / 100 == pytest.approx(best.after, abs=0.01)


def test_once_all_is_noted_nothing_is_left_to_test(tmp_path: Path) -> None:
    """With every outlet found the answer is that the wiring is known."""
    day = day_in(tmp_path)
    day = note(day, "breaker P1 off: dark A1 A2 A3, lit A4 A5 A6").day
    day = note(day, "breaker P2 off: dark A4 A5, lit A1 A2 A3 A6").day
    assert traced(day).now <= terrace().now
    day = note(day, "breaker P3 off: dark A6, lit A1 A2 A3 A4 A5").day
    assert traced(day).best is None


def test_a_contradiction_is_settled_before_anything_is_tested(tmp_path: Path) -> None:
    """A lamp seen dark on two breakers: the cheapest repeat comes first, neither counts."""
    day = day_in(tmp_path)
    note(day, "breaker P1 off: dark A1")
    clashing = note(load_day(tmp_path), "breaker P2 off: dark A1", keep=True)
    told = trace(clashing.day, TraceSaid(), CONFIG)
    assert told.answer.says is TraceSays.SETTLE
    first = " ".join(told.text().splitlines()[:6])
    assert first.startswith("Settle this first: ")
    assert "Cheapest to repeat: switch P1 off with a lamp in A1" in first
    assert told.data()["contradicts"]
    assert told.answer.tracing is not None
    assert told.answer.tracing.now == pytest.approx(terrace().now)


def test_leave_decides_what_is_proposed(tmp_path: Path) -> None:
    """Only named breakers; what must not lose power refuses what may darken it."""
    more = "leave: {breakers: [P1, P2], may_lose_min: {fish tank: 5}}\n"
    found = traced(day_in(tmp_path, more=more))
    assert found.best is not None
    assert set(found.best.trial.off) <= {"P1", "P2"}
    assert "fish tank" not in found.best.disturbance.ask_leave
    assert {t.off for t in found.refused} >= {("P3",)}


def test_without_leave_to_switch_there_are_load_steps_and_questions(tmp_path: Path) -> None:
    """Nothing goes dark; a meter and a memory are what is left, and no session."""
    found = traced(day_in(tmp_path, more="leave: {switching: false}\n"))
    assert {w.trial.kind for w in found.worths} == {TrialKind.LOAD_STEP, TrialKind.ASK}
    assert not any(w.trial.darkens for w in found.worths)
    assert found.session is None
    assert max(w.gain for w in found.worths) > 0


def test_one_person_listens_or_films_one_room() -> None:
    """One radio; a phone sees one room only; walking makes each test longer."""
    found = traced(load_day(TERRACE), people=1)
    kinds = {w.trial.kind for w in found.worths}
    assert {TrialKind.LISTEN, TrialKind.FILM} <= kinds
    assert TrialKind.BREAKER not in kinds
    rooms = {o: row.room for o, row in load_job(TERRACE).outlets.items()}
    for w in found.worths:
        if w.trial.kind is TrialKind.LISTEN:
            assert len(w.trial.lamps) <= 1
        if w.trial.kind is TrialKind.FILM:
            assert len({rooms[o] for o in w.trial.lamps}) <= 1
    assert found.session is not None
    assert terrace().session is not None
    assert found.session.plain.minutes > terrace().session.plain.minutes  # type: ignore[union-attr]


def test_lamps_stand_where_one_says() -> None:
    """Named outlets get the lamps; one that needs none is said so; minutes bound the tests."""
    day = load_day(TERRACE)
    told = trace(day, TraceSaid(lamps=("A4,A5", "A7"), minutes=2.0), CONFIG)
    found = told.answer.tracing
    assert found is not None
    switched = [w.trial for w in found.worths if w.trial.darkens]
    assert all(set(t.lamps) <= {"A4", "A5"} for t in switched)
    assert all(t.minutes <= 2.0 for t in switched)
    assert found.lost > 0
    assert "No lamp needed in A7" in told.text()


def test_every_unknown_lamp_is_named_at_once() -> None:
    """Two names the job does not have are two faults."""
    day = load_day(TERRACE)
    with pytest.raises(InputError) as caught:
        trace(day, TraceSaid(lamps=("A9", "A1", "Z")))
    assert [fault.value for fault in caught.value.faults] == ["A9", "Z"]


def test_a_poor_plan_in_hand_is_to_be_made_anew_first(tmp_path: Path) -> None:
    """Before testing for a plan that trips often, plan: the best one trips less."""
    job = load_job(TERRACE)
    outcome = find_robust_plans(WiringModel.of(job), CONFIG)
    assert isinstance(outcome, Solved)
    plan = outcome.plans[0][0]
    day = day_in(tmp_path)
    good = trace(day, TraceSaid(plan=plan), CONFIG)
    assert good.answer.says is TraceSays.TEST
    crowded = plan.model_copy(
        update={
            "placements": tuple(
                p.model_copy(update={"point": "A1"}) if p.load in ("day", "key", "soft") else p
                for p in plan.placements
            )
        }
    )
    poor = trace(day, TraceSaid(plan=crowded), CONFIG)
    assert poor.answer.says is TraceSays.PLAN_AGAIN
    assert poor.text().startswith("Plan again before you test: ")


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["trace", str(TERRACE), "--people", "3"], ExitCode.BAD_INPUT),
        (["trace", str(TERRACE), "--minutes", "-1"], ExitCode.BAD_INPUT),
        (["trace", "nowhere.yaml"], ExitCode.BAD_INPUT),
        (["trace", str(TERRACE), "--plan", "nowhere.json"], ExitCode.BAD_INPUT),
    ],
)
def test_bad_words_end_in_a_fault(words: list[str], code: ExitCode) -> None:
    """Usage and input that make no sense end as everywhere."""
    result = CliRunner().invoke(cli, words)
    assert result.exit_code == code
    assert result.stdout == ""


def test_data_keeps_its_keys() -> None:
    """Keys are added within a version, never changed or removed."""
    told = trace(load_day(TERRACE), TraceSaid(), CONFIG)
    data = json.loads(json.dumps(told.data()))
    assert {
        "format",
        "version",
        "answer",
        "text",
        "contradicts",
        "now_pct",
        "planned_pct",
        "whole_map_pct",
        "wirings",
        "plans",
        "cut_short",
        "next",
        "tests",
        "refused",
        "leave_alone",
        "session",
    } <= data.keys()
    assert {
        "kind",
        "off",
        "rcd",
        "lamps",
        "minutes",
        "after_pct",
        "gain_pct",
        "ask_leave",
        "shut_down",
        "dark_minutes",
        "note",
    } <= data["tests"][0].keys()
    assert {
        "lamps",
        "people",
        "adaptive",
        "one_by_one",
        "by_number",
        "codes",
        "check",
        "check_minutes",
        "bound_rounds",
        "bits",
        "unresolved",
    } <= data["session"].keys()
    assert {"rounds", "most_rounds", "minutes", "off"} <= data["session"]["adaptive"].keys()
    assert data["version"] == 1
    assert data["answer"] == "test"


def test_a_session_that_nobody_gave_leave_for_is_said_not_to_be(tmp_path: Path) -> None:
    """Whoever asks for --session is told why there is none."""
    day = day_in(tmp_path, more="leave: {switching: false}\n")
    told = trace(day, TraceSaid(with_session=True), CONFIG)
    assert told.answer.tracing is not None
    assert told.answer.tracing.session is None
    assert "Not by the leave given: no breaker may be switched" in " ".join(told.text().split())
