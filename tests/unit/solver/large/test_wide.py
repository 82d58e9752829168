"""The search of sites too large for a search that reads its whole model for every call."""

from dataclasses import replace
from random import Random

import pytest

from builders import amps, circuit, job_of, outlet, setup, small_data
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.preferences import Goal
from spreadload.plan import Plan, Search, Solved, Verdict
from spreadload.solver.engine import calls as engine_calls
from spreadload.solver.engine import limits
from spreadload.solver.engine.calls import Effort, solve
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.large.cable_bound import cable_bound
from spreadload.solver.large.known import fixed
from spreadload.solver.large.levelling import Levelling
from spreadload.solver.large.percent_bound import percent_bounds
from spreadload.solver.large.straight import is_wide
from spreadload.solver.large.wide import Wide
from spreadload.solver.model.candidates import all_candidates
from spreadload.solver.model.goals import GOALS
from spreadload.solver.model.readback import read_plan
from spreadload.solver.model.request import Request
from spreadload.solver.model.variables import evaluate, total
from spreadload.solver.search.greedy import NOTHING_IMPROVED, Greedy
from spreadload.solver.search.proposal import Proposal
from spreadload.solver.search.ranked_plans import find_plans
from spreadload.solver.staged import calls as staged_calls
from spreadload.solver.staged.stages import Stages

WORK_S = 3.0
UNITS_A = {"sun": 6.0, "panel": 2.8, "tube": 0.7}
PHASES = ("L1", "L2", "L3")


def site(seed: int = 1, count: int = 6) -> Facts:
    """Return a site on three phases: circuits of two outlets, heads at a place beside each."""
    random = Random(seed)
    names = [f"P{n}" for n in range(count)]
    places = {f"spot {n}": {"at": [4.0 * n, 3.0]} for n in range(count)}
    lit = [
        {head: {random.choice(list(places)): 2, "spot 0": 1} for head in UNITS_A} for _ in range(2)
    ]
    data = small_data(
        supply={"system": "three-phase", "limit_a": 40.0, "planning_v": 230.0},
        circuits={n: circuit(16.0, phase=PHASES[k % 3]) for k, n in enumerate(names)},
        outlets={
            f"O{k}{side}": outlet(name, "lounge", at=[4.0 * k, 2.0 * side])
            for k, name in enumerate(names)
            for side in (0, 1)
        },
        places=places,
        heads={head: amps(a, count=3, cord_m=1.0) for head, a in UNITS_A.items()},
        leads=[{"length_m": m, "size_mm2": 2.5, "count": 12} for m in (5.0, 10.0, 25.0)],
        power_boards=[{"ways": 4, "count": 3}],
        setups=[setup(f"SU{n}", **heads) for n, heads in enumerate(lit)],
    )
    return Facts.of(job_of(data))


@pytest.fixture(autouse=True)
def _no_wall_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave every limit to work, so that a busy machine goes the same way as an idle one."""
    monkeypatch.setattr(limits, "monotonic", lambda: 0.0)
    for module in (engine_calls, staged_calls):
        monkeypatch.setattr(module, "SLOWER", 1000)


def patient(work_s: float = WORK_S) -> Clock:
    """Return a clock of so much work, and all the time that takes."""
    return Clock(600.0).part(work_s)


def proposal(facts: Facts, work_s: float = WORK_S) -> Proposal:
    """Return a proposal that has made its first plan."""
    made = Proposal(facts, SolverConfig(time_limit_s=work_s), patient(work_s), Request())
    assert made._first() is not None
    return made


def wide(facts: Facts, clock: Clock) -> Wide:
    """Return the search of a site from its first plan."""
    begun = proposal(facts)
    goals = facts.job.rules.goals
    return Wide(facts, all_candidates(facts), goals, begun.config, clock, begun.start)


def judged(facts: Facts, stages: Stages) -> tuple[Plan, Verdict]:
    """Return the plan of a search with its verdict."""
    plan = read_plan(stages.v, stages.value, Search())
    return plan, Judge(facts).judge(plan)


def values(verdict: Verdict) -> tuple[int, ...]:
    """Return the values of the goals in their order."""
    return tuple(goal.value for goal in verdict.goals)


@pytest.mark.parametrize("seed", range(4))
def test_its_plan_holds_and_beats_the_one_it_began_with(seed: int) -> None:
    """The judge passes it, agrees with every value reached, and finds it no worse."""
    facts = site(seed)
    first = Greedy(facts).plan()
    assert first is not None

    search = wide(facts, patient())
    stages = search.run()

    assert stages is not None
    _, verdict = judged(facts, stages)
    assert verdict.holds
    assert values(verdict) < values(Judge(facts).judge(first))
    for goal in verdict.goals:
        reached = search.reached.get(Goal(goal.goal), goal.value)
        assert goal.value <= reached, goal.goal


@pytest.mark.parametrize("seed", range(4))
def test_it_levels_as_well_as_the_exact_search(seed: int) -> None:
    """Where the usual search proves the tightest circuit, this one reaches it."""
    facts = site(seed)
    exact = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=20.0, alternatives=0))
    assert isinstance(exact, Solved)
    best = {goal.goal: goal.value for goal in exact.plans[0][1].goals}

    search = wide(facts, patient())
    assert search.run() is not None

    bounds = percent_bounds(facts, all_candidates(facts))
    assert max(bounds.values()) <= best["tightest"]
    assert search.reached[Goal.TIGHTEST] == best["tightest"]


def test_what_it_says_is_proved_is_proved() -> None:
    """A goal that is not told as open is at its bound, of circuits or of cable, or at nothing."""
    facts = site()
    search = wide(facts, patient())
    assert search.run() is not None

    bounds = percent_bounds(facts, all_candidates(facts))
    least = {
        Goal.TIGHTEST: max(bounds.values()),
        Goal.EACH_SETUP: sum(bounds.values()),
    }
    reached_m, least[Goal.CABLE] = search.unproven[Goal.CABLE]
    by_place_m = cable_bound(facts, all_candidates(facts))
    assert by_place_m < least[Goal.CABLE] <= reached_m
    for goal, reached in search.reached.items():
        if goal not in search.unproven:
            assert reached == least.get(goal, 0)
        else:
            assert search.unproven[goal] == (reached, least.get(goal, 0))


def test_without_any_work_left_it_keeps_the_plan_it_began_with() -> None:
    """However late it is, the plan in hand comes back, and what was not tried is told."""
    facts = site()
    clock = patient()
    clock.spend_s(WORK_S)

    search = wide(facts, clock)
    stages = search.run()

    assert stages is not None
    _, verdict = judged(facts, stages)
    assert verdict.holds
    assert Goal.CABLE in search.unproven


def test_size_and_time_decide_which_search_is_taken() -> None:
    """A site is wide for a second and not for a minute, and both ways end in a plan that holds."""
    facts = site()
    options = all_candidates(facts)
    limits_s = (0.5, 60.0)

    assert [is_wide(options, limit_s) for limit_s in limits_s] == [True, False]
    outcome = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=0.5, alternatives=0))
    assert isinstance(outcome, Solved)
    assert outcome.plans[0][1].holds


def test_what_counts_is_the_time_of_this_search_not_of_the_whole_command() -> None:
    """The part of a search that has a second goes in small pieces, however long the whole may."""
    part = patient(0.5)
    found, plan = Proposal(site(), SolverConfig(time_limit_s=60.0), part, Request()).find()

    assert (found, plan is not None) == (Found.GOOD, True)
    said = plan.search.gap if plan is not None else ""
    assert NOTHING_IMPROVED not in said
    assert "the leads could perhaps be" in said


def test_the_same_site_gives_the_same_plan() -> None:
    """The order of pieces hangs on the seed alone, and their size on work, never on time."""
    facts = site()
    plans = []
    for _ in range(2):
        stages = wide(facts, Clock(60.0)).run()
        assert stages is not None
        plans.append(judged(facts, stages)[0])

    assert plans[0] == plans[1]


def test_units_find_back_to_their_point() -> None:
    """From the plan that moves the most units, rounds around the moves leave none to re-plug.

    None is needed: the plan that the search itself came to has none.
    """
    search = wide(site(), patient())
    straight = search._settle_circuits()
    assert straight is not None
    v = straight.v
    moves = GOALS[Goal.REPLUGS](v)
    before, _ = v.setups()
    level = Levelling(v, dict.fromkeys(v.setups(), 100), frozenset({Goal.TIGHTEST}), moves)
    used = {(d.load, p) for (d, p), x in v.at.items() if d.setup == before and straight.value(x)}
    v.model.minimize(
        total(x for (d, p), x in v.at.items() if d.setup != before and (d.load, p) in used)
    )
    spoilt = solve(v.model, Effort(WORK_S, 0.5, 1, 7), patient()).values
    split = {where: spoilt[x.index] for where, x in v.at.items()}
    begun = search._filled(v, fixed(v, split), level.aim)
    assert begun is not None
    assert evaluate(moves, begun.tolist()) > 0

    effort, clock = Effort(WORK_S, 0.5, 1, 7), patient()
    after = level.keep_plugged(level.run(begun, effort, clock), effort, clock)

    assert evaluate(moves, after.tolist()) == 0


def test_levelling_never_lets_go_of_what_it_has() -> None:
    """An aim that is out of reach leaves every set-up as full as it was, or less."""
    facts = site()
    search = wide(facts, patient())
    straight = search._settle_circuits()
    assert straight is not None
    nothing = dict.fromkeys(facts.demands, 0)
    level = Levelling(straight.v, nothing, frozenset({Goal.TIGHTEST}), 0)
    straight.v.model.minimize(level.aim)
    begun = search._filled(straight.v, dict(enumerate(straight.values)), level.aim)
    assert begun is not None

    after = level.run(begun, Effort(WORK_S, 0.2, 1, 7), patient())

    for setup_id in facts.demands:
        assert level.fullest(after, setup_id) <= level.fullest(begun, setup_id)


def test_another_plan_is_not_begun_that_could_not_be_asked_for_in_time() -> None:
    """With less left than the model of a wide site takes to build, no alternative is looked for."""
    facts = site()
    request = Request(wishes=(lambda _: None,))
    config = SolverConfig(time_limit_s=0.5)
    late, early = Clock(0.5), Clock(0.5)
    late.spend_s(0.499)

    assert Proposal(facts, config, late, request).find() == (Found.NOTHING, None)
    assert Proposal(facts, config, early, request).find()[1] is not None


class SlowClock(Clock):
    """The clock of a machine that has used up almost all the time for little of the work."""

    @property
    def left_s(self) -> float:
        """Two seconds less than the work left."""
        return max(0.0, self.work_left_s - 2.0)


@pytest.mark.parametrize(("clock", "is_dealt"), [(Clock, True), (SlowClock, False)])
def test_nothing_is_dealt_out_that_could_not_be_laid_in_time(
    clock: type[Clock], *, is_dealt: bool
) -> None:
    """Until it is laid it shortens nothing, so a machine behind its time shortens what it has."""
    said: list[str] = []
    search = wide(site(0), clock(8.0))
    search.config = replace(search.config, progress=said.append)
    assert search.run() is not None
    assert ("dealing out: cable" in said) == is_dealt
    assert "improving: cable" in said
