"""Plans for a house whose wiring is not known: certain if possible, else least likely to fail.

First a plan is looked for that counts every load on every circuit it might be on: if there is one
it holds whatever the wiring. Else the weight of maps on which some limit is passed is minimised
(local search, then an exact model with a bound), held, and the other goals follow as usual. What
is reported is measured on maps the plan was not fitted to.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.preferences import Goal
from spreadload.plan import Chance, Impossible, Outcome, Plan, Solved, Undecided, Verdict
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.interruption import Task, interruptible
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.candidates import all_candidates
from spreadload.solver.model.request import LIT_GOALS, Request, Wish
from spreadload.solver.robust.advice import ADVICE_S, with_advice
from spreadload.solver.robust.bound import improve
from spreadload.solver.robust.chance import FRESH_MAPS, FRESH_SEED, certain, chance_of
from spreadload.solver.robust.hedging import Hedge, start_at, units_of
from spreadload.solver.robust.hold import Hold
from spreadload.solver.robust.hopeless import no_wiring_will_do
from spreadload.solver.robust.model import Bounded, as_counts, failing, nearest_feasible
from spreadload.solver.robust.ranking import begin_room, held_plan, others_like
from spreadload.solver.robust.risk_table import Options, RiskTable
from spreadload.solver.robust.starved import plan_for_volts
from spreadload.solver.robust.what_fits import with_what_fits
from spreadload.solver.search.greedy import Greedy
from spreadload.solver.search.ranked_plans import find_one, find_plans
from spreadload.solver.why_not.arithmetic import plain_reason
from spreadload.units import tenths_down, tenths_up
from spreadload.wiring.maps import Maps, maps_of
from spreadload.wiring.model import WiringModel

FITTED_MAPS = 1500
COARSE_MAPS = 400
CLOSE_ENOUGH = 0.005
_CERTIFICATE_SHARE = 0.3
_EXACT_SHARE = 0.35
_HOPELESS = 0.999
_ROUGH_KICKS = 8
_LAST_KICKS = 2
_CLEARLY_LESS_PCT = 2.0


@dataclass(frozen=True)
class Robust:
    """One search for a robust plan.

    Attributes:
        model: The wirings the house may have.
        facts: Worked out with unknown circuits left to the maps.
        judge: Judges what does not depend on the map.
        fitted: Maps the plan is fitted to.
        fresh: Maps it is measured on.
        config: Limits and seed.
    """

    model: WiringModel
    facts: Facts
    judge: Judge
    fitted: Maps
    fresh: Maps
    config: SolverConfig

    @cached_property
    def options(self) -> Options:
        """What each demand may use."""
        return all_candidates(self.facts)

    @property
    def has_volts(self) -> bool:
        """Whether the supply was read well enough for volts to refuse a plan."""
        return self.judge.house.may_refuse

    @classmethod
    def of(
        cls, model: WiringModel, config: SolverConfig | None = None, facts: Facts | None = None
    ) -> "Robust":
        """Prepare a search: draw the maps, work out the facts.

        Args:
            model: The wirings the house may have.
            config: Limits and seed.
            facts: Worked out with unknown circuits left to the maps, where the caller has them.
        """
        config = config or SolverConfig()
        facts = facts or Facts.of(model.job, unknown="maps")
        fitted = maps_of(model, FITTED_MAPS, config.seed)
        fresh = fitted if fitted.is_exact else maps_of(model, FRESH_MAPS, FRESH_SEED + config.seed)
        return cls(model, facts, Judge(facts), fitted, fresh, config)


def find_robust_plans(model: WiringModel, config: SolverConfig | None = None) -> Outcome:
    """Return ranked plans with the chance that unknown wiring makes each fail.

    Args:
        model: The wirings the house may have.
        config: Time limit, alternatives and seed.

    Raises:
        InternalError: The judge refused a plan that the model called legal.
    """
    with interruptible():
        return _found(model, config or SolverConfig())


def _found(model: WiringModel, config: SolverConfig) -> Outcome:
    clock = Clock(config.time_limit_s)
    sure = Facts.of(model.job, unknown="maps")
    if plain_reason(sure) is not None:
        return _no_wiring_helps(model, sure, config)
    certain_plans = certificate(model, config, clock)
    if certain_plans is not None:
        return certain_plans
    return _least_likely(Robust.of(model, config, sure), clock)


def _no_wiring_helps(model: WiringModel, sure: Facts, config: SolverConfig) -> Outcome:
    """Return why a job cannot run even where every guess turns out well, and what of it can."""
    config = replace(config, on_best=None)  # the best plan of a part of the job is not the answer
    outcome = find_plans(sure, Judge(sure), config)
    if not isinstance(outcome, Impossible):
        # Only the sum of all circuits forbids it, and what is sure says nothing of that.
        counted = Facts.of(model.job)
        outcome = find_plans(counted, Judge(counted), config)
    return with_what_fits(outcome, model, config, find_robust_plans)


def certificate(
    model: WiringModel, config: SolverConfig, clock: Clock | None = None
) -> Solved | None:
    """Return plans that hold on every map still possible, or None when none was found."""
    clock = clock or Clock(config.time_limit_s)
    # Of what was asked for, not of what is left: the same on a busy machine.
    share_s = config.time_limit_s * _CERTIFICATE_SHARE
    facts = Facts.of(model.job)
    judge = Judge(facts)
    # A first look only asks whether any plan is certain; ranking comes after a yes.
    quick = Request(goals=(Goal.KEEP_HEADS,))
    _, found = find_one(facts, judge, config, clock.part(share_s), quick)
    if found in (Found.NONE_EXISTS, Found.NOTHING):
        return None
    outcome = find_plans(facts, judge, config, clock.part(config.time_limit_s - share_s))
    if not isinstance(outcome, Solved):
        return None
    if judge.house.may_refuse:
        # The worst of every circuit is not quite the worst of all wirings: losses elsewhere count.
        robust = Robust.of(model, config)
        if any(chance_of(robust, plan, None).fails_pct > 0 for plan, _ in outcome.plans):
            return None
    chances = tuple(certain(model, facts, plan) for plan, _ in outcome.plans)
    return outcome.model_copy(update={"chances": chances})


def _least_likely(robust: Robust, clock: Clock) -> Outcome:
    config, facts = robust.config, robust.facts
    base, found = base_plan(robust, clock)
    if found is Found.NONE_EXISTS:
        return _no_wiring_helps(robust.model, facts, config)
    if base is None:
        return Undecided(reason=f"no plan and no proof within {config.time_limit_s:g} s")
    table = risk_table(robust)
    best = fit(robust, table, base[0], clock)
    if best.risk >= _HOPELESS:
        return _hopeless(robust, best, base)
    ranked, chances = _ranked(robust, table, best, base, clock)
    order = _ranks(chances)
    plan = ranked[order[0]][0]
    return Solved(
        plans=tuple(ranked[n] for n in order),
        proven=plan.search.proven and best.risk - best.bound <= CLOSE_ENOUGH,
        gap="; ".join(part for part in (plan.search.gap, _gap(best)) if part),
        chances=tuple(chances[n] for n in order),
    )


def _ranked(
    robust: Robust, table: RiskTable, best: Bounded, base: tuple[Plan, Verdict], clock: Clock
) -> tuple[list[tuple[Plan, Verdict]], list[Chance]]:
    """Return the plan best by the other goals and some unlike it, each with its chance."""
    hold = Hold.of(table, best, robust.options)
    wishes: tuple[Wish, ...] = ()
    first: tuple[Plan, Verdict] | None
    begun = None
    if robust.has_volts and (tried := plan_for_volts(robust, table, best, clock)) is not None:
        first, hold, wishes = tried.plan, tried.hold, tried.wishes
    else:
        begun = begin_room(robust, hold) if robust.config.alternatives else None
        first = held_plan(robust, hold, best, clock)
    plan = base[0] if first is None else first[0]
    robust.config.tell_best(robust.facts, plan)
    beside = clock.beside(ADVICE_S)  # its own work, so that it does not matter who ends first
    advised = Task(lambda: _advised(robust, table, plan, best.bound, beside))
    advised.start()
    others = [] if first is None else others_like(robust, hold, first, clock, wishes, begun)
    chances = [chance_of(robust, other, best.bound) for other, _ in others]
    return [first or base, *others], [advised.outcome(), *chances]


def _advised(robust: Robust, table: RiskTable, plan: Plan, bound: float, clock: Clock) -> Chance:
    """Return the chance of the best plan, with what leaving its worst outlets alone would do."""
    return with_advice(robust, table, plan, chance_of(robust, plan, bound), clock)


def _ranks(chances: Sequence[Chance]) -> list[int]:
    """Return the order of the plans: the best by all goals, unless another fails clearly less."""

    def rank(n: int) -> tuple[bool, float]:
        is_clear = chances[n].fails_pct < chances[0].fails_pct - _CLEARLY_LESS_PCT
        return n > 0 and not is_clear, chances[n].fails_pct

    return sorted(range(len(chances)), key=rank)


def base_plan(robust: Robust, clock: Clock) -> tuple[tuple[Plan, Verdict] | None, Found]:
    """Return a plan that keeps everything that does not depend on the map, to start from."""
    quick = Greedy(robust.facts).plan()
    if quick is not None and (verdict := robust.judge.judge(quick)).holds:
        return (quick, verdict), Found.BEST  # it lights every head and keeps the house on
    request = Request(goals=LIT_GOALS)
    return find_one(robust.facts, robust.judge, robust.config, clock, request)


def risk_table(robust: Robust) -> RiskTable:
    """Return the groups of the fitted maps over the points that something may use."""
    options = robust.options
    points = [option.point for some in options.values() for option in some]
    return RiskTable.of(robust.facts, robust.fitted, points, options)


def fit(
    robust: Robust,
    table: RiskTable,
    base: Plan,
    clock: Clock,
    banned: frozenset[str] = frozenset(),
) -> Bounded:
    """Return the plan of least risk on the fitted maps, as counts, with a proven bound."""
    start = hedge(robust, table, base, banned)
    kept = nearest_feasible(robust.facts, start, clock, robust.config) or as_counts(table, base)
    kept = replace(kept, risk=table.maps.share(failing(table, kept)))
    own = as_counts(table, base)
    if own.risk < kept.risk and not banned:
        kept = own
    share = clock.part(clock.work_left_s * _EXACT_SHARE)
    return improve(
        robust.facts, table, kept, share, robust.config, lambda r, b: r - b <= CLOSE_ENOUGH / 2
    )


def hedge(
    robust: Robust, table: RiskTable, base: Plan, banned: frozenset[str] = frozenset()
) -> Bounded:
    """Return what a local search makes of a plan, outlets that are banned left alone.

    Most of the looking round is done on some of the maps, the last steps on all of them.
    """
    options = robust.options
    off = frozenset((o.setup, o.load) for o in base.switched_off)
    units = units_of(options, table.setups, off)
    at = start_at(units, as_counts(table, base).counts)
    rng = np.random.default_rng(robust.config.seed)
    if len(robust.fitted) > COARSE_MAPS:
        points = [option.point for some in options.values() for option in some]
        coarse = RiskTable.of(robust.facts, robust.fitted.first(COARSE_MAPS), points, options)
        rough = Hedge(coarse, units, coarse.base(off), banned)
        rough.start(at)
        rough.search(rng, kicks=_ROUGH_KICKS)
        at = rough.at
    search = Hedge(table, units, table.base(off), banned)
    search.start(at)
    risk = search.search(rng, kicks=_LAST_KICKS)
    return Bounded(search.counts(), off, risk, 0.0)


def _gap(best: Bounded) -> str:
    if best.risk - best.bound <= CLOSE_ENOUGH:
        return ""
    return (
        f"chance of a trip not proved least: {tenths_up(best.risk * 100)} in 100 on the fitted "
        f"wirings, at least {tenths_down(best.bound * 100)}"
    )


def _hopeless(robust: Robust, best: Bounded, base: tuple[Plan, Verdict]) -> Outcome:
    """Return that every plan fails on every wiring, or that none better was found."""
    if best.bound < _HOPELESS:
        return Undecided(
            reason="every plan found passes some limit on every way this house could be wired, "
            "and no proof that none is better"
        )
    config = replace(robust.config, on_best=None)
    return no_wiring_will_do(robust.model, robust.fitted, config, base, find_robust_plans)


def chances(robust: Robust, plans: Sequence[Plan]) -> tuple[Chance, ...]:
    """Return the chance of each of some plans, such as one the crew made by hand."""
    return tuple(chance_of(robust, plan, None) for plan in plans)
