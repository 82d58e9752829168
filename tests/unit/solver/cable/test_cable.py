"""Shortening the leads and proving it, side by side, with the same outcome whoever is faster."""

import time
from collections.abc import Callable
from dataclasses import replace
from random import Random
from typing import Any

import pytest

from builders import amps, job_of, outlet, setup, small_data
from spreadload.derived.facts import Facts
from spreadload.solver.cable import shortening
from spreadload.solver.cable.linear import Bounded, bounded
from spreadload.solver.cable.shortening import shorten
from spreadload.solver.engine.calls import Answer, Effort, Status, asking_for_less, solve
from spreadload.solver.engine.limits import DETERMINISTIC_PER_S, Clock
from spreadload.solver.model.goals import cable as metres
from spreadload.solver.model.goals import replugs
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Variables
from spreadload.solver.pieces import polish
from spreadload.solver.pieces.polish import Polish
from spreadload.solver.pieces.small_rounds import SmallRounds

WORK_S = 10.0
EFFORT = Effort(WORK_S, WORK_S * DETERMINISTIC_PER_S, workers=1, seed=3)


def model(setups: int = 1) -> Variables:
    """Return a room of four outlets and three places, with the metres of lead to be minimised."""
    lit = [
        {"big": {"west": 2, "middle": 2}, "lamp": {"middle": 1, "east": 3}},
        {"big": {"east": 3}, "lamp": {"west": 2}},
        {"big": {"middle": 3}, "lamp": {"east": 2, "west": 2}},
    ]
    circuits = {name: {"breaker_a": 16, "feeds": "outlets"} for name in ("P1", "P2")}
    spots = {"O1": [0, 0], "O2": [9, 0], "O3": [0, 9], "O4": [18, 9]}
    outlets = {
        name: outlet("P1" if n % 2 else "P2", "lounge", at=spot, sockets=3)
        for n, (name, spot) in enumerate(spots.items())
    }
    data = small_data(
        circuits=circuits,
        outlets=outlets,
        places={"west": {"at": [1, 5]}, "middle": {"at": [10, 5]}, "east": {"at": [17, 5]}},
        heads={"big": amps(4.0, count=4, cord_m=1), "lamp": amps(1.0, count=4, cord_m=1)},
        leads=[
            {"length_m": length_m, "size_mm2": 1.5, "count": 8} for length_m in (5.0, 10.0, 20.0)
        ],
        setups=[setup(f"SU{n + 1}", **heads) for n, heads in enumerate(lit[:setups])],
    )
    v = Variables.of(Facts.of(job_of(data)))
    for rule in RULES:
        rule(v)
    v.model.minimize(metres(v))
    return v


def longest(v: Variables) -> Answer:
    """Return a legal plan that wastes leads, and nothing proved of it."""
    aim = metres(v)
    v.model.maximize(aim)
    worst = solve(v.model, EFFORT, Clock(WORK_S))
    v.model.minimize(aim)
    best = sum(
        c * worst.values[x]
        for x, c in zip(v.model.proto.objective.vars, v.model.proto.objective.coeffs, strict=True)
    )
    return Answer(Status.GOOD, worst.values, best)


def after(wait_s: float, work: Callable[..., Any]) -> Callable[..., Any]:
    """Return some work that begins late."""

    def late(*given: Any, **named: Any) -> Any:  # noqa: ANN401 - whatever the work takes
        time.sleep(wait_s)
        return work(*given, **named)

    return late


def test_the_shortest_plan_is_found_and_proved_from_the_longest() -> None:
    """The least metres of a small job are those that one search over everything proves."""
    v = model()
    least = solve(v.model, EFFORT, Clock(WORK_S))
    start = longest(v)
    assert least.status is Status.BEST
    assert start.best > least.best
    told: list[str] = []
    found = shorten(v, start, EFFORT, Clock(WORK_S), told.append)
    assert (found.best, found.bound) == (least.best, least.best)


def test_branch_and_bound_proves_the_least_and_that_nothing_is_below() -> None:
    """From any plan the tree ends with the least, from the least with the proof."""
    v = model()
    least = solve(v.model, EFFORT, Clock(WORK_S))
    below = bounded(v.model, longest(v), WORK_S, Clock(WORK_S))
    assert (below.answer.best, below.answer.bound) == (least.best, least.best)
    at_it = Answer(Status.GOOD, least.values, least.best)
    assert bounded(v.model, at_it, WORK_S, Clock(WORK_S)).answer == Answer(
        Status.BEST, least.values, least.best, least.best
    )


def test_what_branch_and_bound_costs_is_counted_not_timed() -> None:
    """The same tree costs the same work every time."""
    v = model()
    start = longest(v)
    costs = {bounded(v.model, start, WORK_S, Clock(WORK_S)).work_s for _ in range(2)}
    assert len(costs) == 1
    assert 0 < costs.pop() < WORK_S


@pytest.mark.parametrize("root_s", [0.0, 0.2 * WORK_S])
@pytest.mark.parametrize("slow", ["rounds", "tree"])
def test_the_faster_of_the_two_does_not_change_the_plan(
    slow: str, root_s: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A core that is busy with something else changes neither plan, bound nor work left."""
    outcomes = []
    for wait_s in (0.0, 0.3):
        monkeypatch.undo()
        monkeypatch.setattr(shortening, "root_work_s", lambda _: root_s)
        if slow == "tree":
            monkeypatch.setattr(shortening, "bounded", after(wait_s, bounded))
        else:
            monkeypatch.setattr(SmallRounds, "by_pieces", after(wait_s, SmallRounds.by_pieces))
        monkeypatch.setattr(shortening, "_CLAUSES_SHARE", 0.0)
        monkeypatch.setattr(shortening, "_PATIENCE_ALONE", 0)
        v = model()
        clock = Clock(WORK_S)
        found = shorten(v, longest(v), EFFORT, clock, lambda _: None)
        outcomes.append((found, clock.work_left_s))
    assert outcomes[0] == outcomes[1]


def test_a_tree_whose_root_takes_longer_than_the_rest_is_begun_at_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Nothing is tried before it, and of rounds from the start again the shorter plan is kept."""
    monkeypatch.setattr(shortening, "root_work_s", lambda _: 0.2 * WORK_S)
    monkeypatch.setattr(shortening, "bounded", lambda _, answer, *__: Bounded(answer, 0.0))
    monkeypatch.setattr(shortening, "_CLAUSES_SHARE", 0.0)
    monkeypatch.setattr(shortening, "_proved", lambda _v, _effort, found, _share: found)
    v = model()
    start = longest(v)
    starts: list[int] = []

    def worse_each_time(_: SmallRounds, answer: Answer, *__: object) -> Answer:
        starts.append(answer.best)
        return replace(answer, best=answer.best - 10 + len(starts))

    monkeypatch.setattr(SmallRounds, "by_pieces", worse_each_time)
    found = shorten(v, start, EFFORT, Clock(WORK_S), lambda _: None)
    assert starts == [start.best, start.best]
    assert found.best == start.best - 9


def test_rounds_only_ever_shorten() -> None:
    """Every round keeps the plan or makes it shorter, and what comes out is still legal."""
    v = model()
    start = longest(v)
    found = Polish(v, EFFORT, Clock(WORK_S)).by_pieces(start)
    assert found.best < start.best
    copy, below = asking_for_less(v.model)
    below(found.best + 1)
    for index, value in enumerate(found.values):
        copy.add_hint(copy.get_int_var_from_proto_index(index), value)
    fixed = Effort(WORK_S, WORK_S, workers=1, seed=3, is_fixed=True)
    assert solve(copy, fixed, Clock(WORK_S)).best == found.best


def test_rounds_end_once_one_of_them_settles_everything(monkeypatch: pytest.MonkeyPatch) -> None:
    """After a round that was free to move all, none of the other rounds is made."""
    rounds: list[bool] = []

    def counted(model: Any, effort: Effort, clock: Clock) -> Answer:  # noqa: ANN401 - a model
        rounds.append(effort.is_fixed)
        return solve(model, effort, clock)

    monkeypatch.setattr(polish, "solve", counted)
    v = model()
    least = solve(v.model, EFFORT, Clock(WORK_S))
    found = Polish(v, EFFORT, Clock(WORK_S)).by_pieces(longest(v))
    assert found.best == least.best
    assert len(rounds) < polish.PATIENCE


def test_rounds_end_where_another_search_has_proved_the_plan(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """No round is made once nothing is below, and a bound below the plan stops none."""
    rounds: list[int] = []

    def counted(model: Any, effort: Effort, clock: Clock) -> Answer:  # noqa: ANN401 - a model
        rounds.append(1)
        return solve(model, effort, clock)

    monkeypatch.setattr(polish, "solve", counted)
    v = model()
    start = longest(v)
    least = solve(v.model, EFFORT, Clock(WORK_S)).best
    assert Polish(v, EFFORT, Clock(WORK_S)).by_pieces(start, lambda: start.best) == start
    assert not rounds
    found = Polish(v, EFFORT, Clock(WORK_S)).by_pieces(start, lambda: start.best - 1)
    assert found.best < start.best
    assert found.best >= least


@pytest.mark.parametrize("rounds", [Polish, SmallRounds])
def test_all_units_of_a_load_are_a_piece(rounds: type[Polish]) -> None:
    """They may go anywhere in all set-ups; without being asked for there are no such pieces."""
    v = model(2)
    by_load: dict[str, set[int]] = {}
    for (demand, _), x in v.at.items():
        by_load.setdefault(demand.load, set()).add(x.index)
    plain = [sort.parts.keys() for sort in rounds(v, EFFORT, Clock(WORK_S))._sorts]
    *others, last = rounds(v, EFFORT, Clock(WORK_S), has_loads=True)._sorts
    assert [sort.parts.keys() for sort in others] == plain
    pieces = [last.next_piece(Random(1)) for _ in by_load]
    assert sorted(map(sorted, pieces)) == sorted(map(sorted, by_load.values()))


def test_a_day_is_shortened_and_proved_with_what_it_holds() -> None:
    """With the re-plugs held the least metres of two set-ups are those of one search over all."""
    v = model(2)
    moves = replugs(v)
    v.model.minimize(moves)
    fewest = solve(v.model, EFFORT, Clock(WORK_S)).best
    v.model.add(moves <= fewest)
    v.model.minimize(metres(v))
    least = solve(v.model, EFFORT, Clock(WORK_S))
    assert least.status is Status.BEST
    start = longest(v)
    found = shorten(v, start, EFFORT, Clock(WORK_S), lambda _: None, [(moves, fewest)])
    assert (found.best, found.bound) == (least.best, least.best)


def test_asking_for_less_leaves_the_model_alone() -> None:
    """Only the copy has the row, and there nothing at or above the value is left."""
    v = model()
    before = str(v.model.proto)
    least = solve(v.model, EFFORT, Clock(WORK_S)).best
    copy, below = asking_for_less(v.model)
    below(least)
    assert solve(copy, EFFORT, Clock(WORK_S)).status is Status.NONE_EXISTS
    below(least + 1)
    assert solve(copy, EFFORT, Clock(WORK_S)).best == least
    assert str(v.model.proto) == before
