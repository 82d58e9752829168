"""What must be true of the judge for any job and any plan."""

from collections.abc import Mapping

from hypothesis import given, settings
from hypothesis import strategies as st

from builders import job_of
from spreadload.check import HARD_RULES, Judge, judge
from spreadload.check.rules import OF_ONE_OUTLET
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import Plan, Verdict
from strategies import job_data, jobs, one_change, plans, sensible_plans

relaxed = settings(max_examples=50)


def as_seen(verdict: Verdict) -> tuple[object, ...]:
    """Return a verdict without the words, whose unit numbers are mere names."""
    limits = sorted((v.rule, v.setup, v.value, v.limit, v.unit) for v in verdict.violations)
    goals = [(goal.goal, goal.value) for goal in verdict.goals]
    return limits, goals, verdict.usages


@relaxed
@given(data=st.data())
def test_any_plan_is_judged_without_a_crash(data: st.DataObject) -> None:
    """Unknown ids, absurd sockets and missing units are violations, never exceptions."""
    job = data.draw(jobs())
    verdict = judge(job, data.draw(plans(job)))
    assert len(verdict.goals) == len(job.rules.goals)


@relaxed
@given(data=st.data())
def test_order_of_entries_does_not_matter(data: st.DataObject) -> None:
    """A plan read backwards gets the same verdict, word for word."""
    job = data.draw(jobs())
    plan = data.draw(plans(job))
    backwards = Plan(
        placements=plan.placements[::-1],
        left_out=plan.left_out[::-1],
        switched_off=plan.switched_off[::-1],
    )
    assert judge(job, backwards) == judge(job, plan)


@relaxed
@given(data=st.data())
def test_numbers_of_identical_units_do_not_matter(data: st.DataObject) -> None:
    """Identical units that swap their numbers in one set-up leave every figure as it was."""
    job = data.draw(jobs())
    facts = Facts.of(job)
    plan = data.draw(sensible_plans(job))
    counts = {(d.setup, d.load, d.place): d.count for ds in facts.demands.values() for d in ds}
    swapped = Plan(
        placements=tuple(
            p.model_copy(update={"unit": counts[p.setup, p.load, p.place] + 1 - p.unit})
            for p in plan.placements
        ),
        left_out=tuple(
            p.model_copy(update={"unit": counts[p.setup, p.load, p.place] + 1 - p.unit})
            for p in plan.left_out
        ),
        switched_off=plan.switched_off,
    )
    assert as_seen(judge(job, swapped)) == as_seen(judge(job, plan))


@settings(max_examples=100)
@given(data=st.data())
def test_a_judge_that_has_seen_other_plans_says_the_same(data: st.DataObject) -> None:
    """After any row of changes, on any wiring, nothing of what was judged before stays."""
    job = data.draw(jobs())
    facts = Facts.of(job)
    plan = data.draw(sensible_plans(job) | plans(job))
    seasoned = Judge(facts)
    for _ in range(data.draw(st.integers(2, 7))):
        wiring = data.draw(st.none() | _wirings(job))
        assert seasoned.violations(plan, wiring) == Judge(facts).violations(plan, wiring)
        if data.draw(st.booleans()):
            assert seasoned.judge(plan, wiring) == Judge(facts).judge(plan, wiring)
        plan = data.draw(one_change(job, plan))


@relaxed
@given(data=st.data())
def test_rules_of_one_outlet_hang_on_nothing_elsewhere(data: st.DataObject) -> None:
    """Outlet by outlet they find what they find in the whole set-up."""
    job = data.draw(jobs())
    plan = data.draw(sensible_plans(job) | plans(job))
    for state in Judge(Facts.of(job)).states(plan):
        for rule in map(HARD_RULES.__getitem__, sorted(OF_ONE_OUTLET)):
            alone = [f for units in state.by_outlet.values() for f in rule(state.only(units))]
            assert sorted(alone, key=repr) == sorted(rule(state), key=repr)


def _wirings(job: Job) -> st.SearchStrategy[dict[str, str]]:
    """Return a strategy for the circuits of some outlets."""
    each = st.sampled_from(sorted(job.outlets)), st.sampled_from(sorted(job.circuits))
    return st.dictionaries(*each, max_size=3)


@relaxed
@given(data=st.data())
def test_more_capacity_never_adds_a_violation(data: st.DataObject) -> None:
    """Bigger breakers, supply and contract can only take violations away."""
    before = data.draw(job_data())
    job = job_of(before)
    plan = data.draw(plans(job))
    more = before | {
        "circuits": {
            name: entry | {"breaker_a": entry["breaker_a"] * 2}
            for name, entry in before["circuits"].items()
        },
        "supply": before["supply"] | {"limit_a": before["supply"]["limit_a"] * 2},
    }
    had = {(v.rule, v.setup, v.where) for v in judge(job, plan).violations}
    has = {(v.rule, v.setup, v.where) for v in judge(job_of(more), plan).violations}
    assert has <= had


@relaxed
@given(data=st.data())
def test_doubling_the_planning_volts_halves_amps_of_stated_watts(data: st.DataObject) -> None:
    """Loads stated in watts draw half at twice the volts; rounding up adds at most 1 mA a unit.

    At 250 V no heat-maker reaches the rating of its ordinary plug, at which its amps would stop.
    """
    before = data.draw(job_data(regions=("AU", "NZ", "UK", "EU"))) | {"house": {}}
    at_250 = before | {"supply": before["supply"] | {"planning_v": 250.0}}
    at_500 = before | {"supply": before["supply"] | {"planning_v": 500.0}}
    job = job_of(at_250)
    plan = data.draw(sensible_plans(job))
    low, high = judge(job, plan).usages, judge(job_of(at_500), plan).usages
    units = len(plan.placements) + sum(d.count for ds in Facts.of(job).demands.values() for d in ds)
    for one, two in zip(low, high, strict=True):
        assert abs(one.current_a - 2 * two.current_a) <= 2 * units / 1000 + 1e-9


def known_map(job: Job) -> Mapping[str, str]:
    """Return the map of a job whose outlets are all known."""
    return {name: outlet.circuit for name, outlet in job.outlets.items() if outlet.circuit}


@relaxed
@given(data=st.data())
def test_the_map_of_known_outlets_changes_nothing(data: st.DataObject) -> None:
    """Judging on a map that says what the job already knows gives the same verdict."""
    job = data.draw(jobs())
    plan = data.draw(plans(job))
    judged = Judge(Facts.of(job))
    assert judged.judge(plan, known_map(job)) == judged.judge(plan)


@relaxed
@given(data=st.data())
def test_no_map_loads_a_device_more_than_the_safe_sum(data: st.DataObject) -> None:
    """Counting an outlet on every circuit it might be on bounds every single map from above."""
    job = data.draw(jobs())
    facts = Facts.of(job)
    plan = data.draw(sensible_plans(job))
    chosen = {
        name: data.draw(st.sampled_from(sorted({c for c, _ in point.exposure.circuits})))
        for name, point in facts.points.items()
        if point.box is None and point.exposure.circuits
    }
    judged = Judge(facts)
    safe, on_map = judged.judge(plan).usages, judged.judge(plan, chosen).usages
    assert all(m.counted_a <= s.counted_a for m, s in zip(on_map, safe, strict=True))
