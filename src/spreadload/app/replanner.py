"""Ways to go on with the day half gone, held against each other: fewest plugs, sure, safest.

Nothing here prints. The solver is imported only when it is asked.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from spreadload.app.loaded import Day
from spreadload.app.replan_told import WORTH_SAYING, ReplanTold, chosen
from spreadload.changes.edits import forbid, without_load
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.observations import Seen
from spreadload.on_the_day.replug.changes import replugs, same_units
from spreadload.on_the_day.replug.same_leads import on_the_same_leads
from spreadload.on_the_day.scene.scene import Scene
from spreadload.plan import Plan, Verdict
from spreadload.report.replan_text import Replanned
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import SolverConfig
from spreadload.units import MILLI, percent_used
from spreadload.wiring.evidence import is_wiring_open
from spreadload.wiring.model import WiringModel
from spreadload.words import setup_name

if TYPE_CHECKING:
    from spreadload.solver.model.request import Wish
    from spreadload.solver.robust.safest import Remaining
    from spreadload.solver.what_if.rerig import Rerigged

_SAFE_ENOUGH = 0.05
_MORE_LIKELY_THAN_NOT = 0.5
_THIRD = 3
_TURNS = 2


class Replanner:
    """Holds the ways to go on against each other: fewest plugs, sure, safest."""

    def __init__(
        self,
        job: Job,
        day: Day,
        scene: Scene,
        whole: Plan,
        off: tuple[str, ...],
        config: SolverConfig,
    ) -> None:
        """Prepare to plan again.

        Args:
            job: The job without what is gone.
            day: The job as stated, with its log.
            scene: The set-ups still to come.
            whole: The plan of the whole day.
            off: Circuits that stay off.
            config: Time limit and seed.
        """
        self.job, self.day, self.scene, self.whole, self.off = job, day, scene, whole, off
        self.is_open = is_wiring_open(scene.facts.job)
        limit_s = config.time_limit_s
        self.config = replace(config, time_limit_s=limit_s / _THIRD if self.is_open else limit_s)

    def run(self, *, is_safe: bool) -> ReplanTold:
        """Return the fewest plugs to move; more for safety where asked or nearly free."""
        facts = self._facts(self._likely_job())
        likely = self._as_rigged(facts) or self._rerigged(facts)
        if isinstance(likely, Found):
            return self._unlikely(facts)
        told = self._told(likely, facts, is_sure=not self.is_open, is_likely=True)
        if not self.is_open or (not is_safe and told.fails <= _SAFE_ENOUGH):
            return told
        return chosen(told, self._safer(), is_safe=is_safe)

    def _unlikely(self, facts: Facts) -> ReplanTold:
        """Return the best to do where not everything holds on the likeliest wiring.

        A plan that is more likely to fail than not is no plan: the least light goes instead.
        """
        everything = self._against_likely()
        if everything is not None and everything.fails < _MORE_LIKELY_THAN_NOT:
            return everything
        dark = self._with_heads_dark(facts)
        is_worse = everything is not None and everything.fails <= dark.fails
        return everything if everything is not None and is_worse else dark

    def _against_likely(self) -> ReplanTold | None:
        """Return the best to do where nothing holds on the likeliest wiring; None without any."""
        if not self.is_open:
            return None
        safe = self._safer()
        facts = self.remaining.robust.facts
        rigged = self._as_rigged(facts)
        if rigged is None:
            return safe
        return chosen(self._told(rigged, facts), safe, is_safe=True)

    def _as_rigged(self, facts: Facts) -> "Rerigged | None":
        """Return the plan as it stands, where that holds and nothing is missing."""
        from spreadload.solver.what_if.rerig import Rerigged  # noqa: PLC0415 - loads OR-Tools

        plan = self.scene.plan
        verdict = Judge(facts).judge(plan)
        if not verdict.holds or plan.left_out:
            return None
        return Rerigged(plan, verdict, len(plan.placements), is_proven=True)

    def _safer(self) -> ReplanTold | None:
        """Return a plan that holds on every wiring, else the safest that was found."""
        facts = self._facts(self._sure_job())
        sure = self._rerigged(facts)
        return self._safest() if isinstance(sure, Found) else self._told(sure, facts, is_sure=True)

    # Jobs to plan for.

    def _facts(self, job: Job) -> Facts:
        """Work out a job for the set-ups still to come, without what cannot be plugged in."""
        return Facts.of(self._without_idle(job)).only(self.scene.remaining)

    def _without_idle(self, job: Job) -> Job:
        for setup, load in self.idle:
            job = without_load(job, setup, load)
        return job

    @cached_property
    def idle(self) -> tuple[tuple[str, str], ...]:
        """Loads, heads aside, that no outlet left can take, with the set-up."""
        from spreadload.solver.model.candidates import candidates  # noqa: PLC0415 - loads OR-Tools

        facts = Facts.of(self._likely_job()).only(self.scene.remaining)
        return tuple(
            (d.setup, d.load)
            for asked in facts.demands.values()
            for d in asked
            if d.circuit is None
            and not d.may_be_off
            and not facts.loads[d.load].is_head
            and not candidates(facts, d)
        )

    def _likely_job(self) -> Job:
        """Return the job on its likeliest wiring, without outlets that are likely to be dead.

        A mere guess puts no outlet off limits, but nobody moves a plug to one that is likely dead.
        """
        dead = [o for o, circuit in self.scene.likely.items() if circuit in self.off]
        return forbid(self.scene.as_likely_wired, outlets=tuple(dead))

    def _sure_job(self) -> Job:
        """Return the job without outlets that may be on a circuit that stays off."""
        chances = self.scene.maps.chances
        doubtful = [
            o
            for o, outlet in self.scene.facts.job.outlets.items()
            if outlet.circuit is None and set(chances(o)) & set(self.off)
        ]
        return forbid(self.scene.facts.job, outlets=tuple(doubtful))

    # Plans.

    def _rerigged(self, facts: Facts, *, may_leave_out: bool = False) -> "Rerigged | Found":
        from spreadload.solver.what_if.rerig import Question, rerig  # noqa: PLC0415 - loads OR-Tools

        return rerig(Question(facts, self.scene.plan, may_leave_out), self.config)

    def _with_heads_dark(self, facts: Facts) -> ReplanTold:
        """Return the plan with the least light lost, where all of it cannot be had."""
        from spreadload.solver.why_not.arithmetic import plain_reason  # noqa: PLC0415 - loads OR-Tools

        found = self._rerigged(facts, may_leave_out=True)
        if not isinstance(found, Found):
            return self._told(found, facts, is_sure=not self.is_open, is_likely=True)
        if found is not Found.NONE_EXISTS:
            return ReplanTold(None, None, _nothing_found(self.scene.setup))
        reason = plain_reason(facts)
        because = f": {reason}" if reason else ""
        text = (
            f"CANNOT RUN from {setup_name(self.scene.setup)} on, even with heads dark{because}. "
            "See offers for what to change."
        )
        return ReplanTold(None, None, text, is_proved=True)

    @cached_property
    def remaining(self) -> "Remaining":
        """The wirings possible, and the set-ups still to come."""
        from spreadload.solver.robust.safest import Remaining  # noqa: PLC0415 - loads OR-Tools

        job = self._without_idle(self.job)
        model = WiringModel.of(job, self.day.log)
        return Remaining.of(model, list(self.scene.remaining), self.off, self.config)

    def _safest(self) -> ReplanTold | None:
        """Return the safest plan found, heads where they are lit before anything else."""
        for wishes in self.remaining.ways(self.config):
            found = self._within(wishes)
            if not isinstance(found, Found):
                safest = self._clear_of_low_volts(found, wishes)
                # Fewest beside holding what the safest plan holds; another may do with fewer.
                return self._told(replace(safest, is_proven=False), self.remaining.robust.facts)
        return None

    def _within(self, wishes: "tuple[Wish, ...]") -> "Rerigged | Found":
        from spreadload.solver.what_if.rerig import Question, rerig  # noqa: PLC0415 - loads OR-Tools

        question = Question(self.remaining.robust.facts, self.scene.plan, wishes=wishes)
        return rerig(question, self.config)

    def _clear_of_low_volts(self, found: "Rerigged", wishes: "tuple[Wish, ...]") -> "Rerigged":
        """Return the plan that fails least as wirings that starve a head teach it bounds.

        The wishes know amps only. Where the likeliest wirings ask too much together, one teaches.
        """
        best = last = found
        for _ in range(_TURNS):
            taught = self.remaining.lessons(last.plan)
            for count in dict.fromkeys((len(taught), min(len(taught), 1))):
                more = (*wishes, *(wish for lesson in taught[:count] for wish in lesson))
                again = self._within(more) if count else Found.NOTHING
                if not isinstance(again, Found):
                    break
            else:
                return best
            wishes, last = more, again
            best = min(best, last, key=self._price)
        return best

    def _price(self, found: "Rerigged") -> tuple[float, int]:
        """Return what is told of a plan: its chance in whole per cent, then what it re-plugs."""
        return round(self.remaining.fails(found.plan), 2), -found.kept

    # Telling.

    def _told(
        self,
        found: "Rerigged",
        facts: Facts,
        *,
        is_sure: bool = False,
        is_likely: bool = False,
    ) -> ReplanTold:
        scene = self.scene
        after = on_the_same_leads(facts, scene.plan, same_units(scene.plan, found.plan))
        verdict = Judge(facts).judge(after)
        told = Replanned(
            facts=facts,
            plan=after,
            verdict=verdict,
            setups=scene.remaining,
            replugs=replugs(scene.plan, after, scene.remaining),
            fails=0.0 if is_sure else self.remaining.fails(after),
            was_fails=0.0 if is_sure else self.remaining.fails(scene.plan),
            is_sure=is_sure,
            is_likely=is_likely,
            is_proven=found.is_proven,
            dark=self._dark(after),
            idle=self.idle,
            look_at=() if is_sure else self._may_be_dead(after),
            warm=tuple(self._warm(facts, verdict)),
        )
        return ReplanTold(told, _whole_day(self.whole, after, scene.remaining))

    def _warm(self, facts: Facts, verdict: Verdict) -> Iterator[tuple[str, int, str]]:
        """Yield circuits that have tripped and would carry more than a warm breaker should."""
        tripped = {
            entry.circuits[0]
            for _, entry in self.day.log.standing
            if entry.what is Seen.TRIP and len(entry.circuits) == 1
        }
        aim_pct, _ = facts.job.rules.warm_tiers_pct
        for circuit in sorted(tripped - set(self.off)):
            rating_ma = facts.circuits[circuit].breaker_ma
            flows = [
                (percent_used(round(u.current_a * MILLI), rating_ma), u.setup)
                for u in verdict.usages
                if u.kind == "circuit" and u.id == circuit
            ]
            pct, setup = max(flows, default=(0, ""))
            if pct > aim_pct:
                yield circuit, pct, setup

    def _dark(self, plan: Plan) -> dict[str, tuple[str, ...]]:
        """Return what has to stay where its circuit is off, by circuit."""
        scene = self.scene
        found: dict[str, dict[str, None]] = {circuit: {} for circuit in self.off}
        for p in plan.placements:
            outlet = scene.facts.points[p.point].outlet
            for circuit, names in found.items():
                if scene.chance(outlet, circuit) >= 1 - WORTH_SAYING:
                    names[p.load] = None
        as_stated = Facts.of(self.day.job).only(scene.remaining)
        for asked in as_stated.demands.values():
            for demand in asked:
                if demand.circuit in found:
                    found[demand.circuit][demand.load] = None
        return {circuit: tuple(names) for circuit, names in found.items() if names}

    def _may_be_dead(self, plan: Plan) -> tuple[str, ...]:
        """Return outlets with a head that may or may not be on a circuit that is off.

        With a head left dark any such outlet is worth a look: alive, it may take the head.
        """
        scene = self.scene
        heads = [p for p in plan.placements if scene.facts.loads[p.load].is_head]
        used = dict.fromkeys(scene.facts.points[p.point].outlet for p in heads)
        open_to = dict.fromkeys(scene.likely) if plan.left_out else used
        chance = {o: sum(scene.chance(o, circuit) for circuit in self.off) for o in open_to}
        return tuple(o for o, share in chance.items() if WORTH_SAYING < share < 1 - WORTH_SAYING)


def _whole_day(was: Plan, rest: Plan, setups: tuple[str, ...]) -> Plan:
    """Return a day: set-ups that are over as they were, the rest as planned now."""
    return rest.model_copy(
        update={
            "placements": (
                *(p for p in was.placements if p.setup not in setups),
                *rest.placements,
            ),
            "left_out": (*(o for o in was.left_out if o.setup not in setups), *rest.left_out),
            "switched_off": (
                *(o for o in was.switched_off if o.setup not in setups),
                *rest.switched_off,
            ),
        }
    )


def _nothing_found(since: str) -> str:
    return (
        f"No plan was found from {setup_name(since)} on in the time: give it longer with "
        "--time-limit."
    )
