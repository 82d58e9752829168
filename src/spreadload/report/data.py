"""Answers as plain data for other tools. The shape is told in README.md under “JSON”.

Keys are added, never changed or removed, within one ``version``. Currents are in A, leakage in mA,
lengths in m, shares in per cent; ids are the keys of the job file.
"""

from dataclasses import asdict

from spreadload.derived.facts import Facts
from spreadload.explain.answer import Answer
from spreadload.explain.binding import Share
from spreadload.explain.briefing import Briefing
from spreadload.explain.day_moves import Change, Pull
from spreadload.explain.differences import differences
from spreadload.explain.first_moves import FirstMove
from spreadload.explain.goal_words import changes
from spreadload.explain.light import Staying
from spreadload.explain.off import Idle
from spreadload.explain.reasons import Elsewhere, Reason
from spreadload.explain.sentences import headline, reason_text
from spreadload.plan import Impossible, Outcome, Plan, Solved, Usage, Verdict, chance_shown
from spreadload.report.headed import Data, headed


def plan_data(answer: Answer, outcome: Outcome, briefing: Briefing | None) -> Data:
    """Return the answer to “does it fit?” as data."""
    data = _head("plan", answer)
    data["proven"] = not isinstance(outcome, Solved) or outcome.proven
    data["gap"] = outcome.gap if isinstance(outcome, Solved) else ""
    chance = chance_shown(outcome)
    if chance is not None:
        data["chance"] = chance.model_dump(mode="json")
    if isinstance(outcome, Impossible):
        data |= {"reason": outcome.reason, "in_the_dark": outcome.in_the_dark}
    if briefing is None:
        return data
    facts = briefing.judged.facts
    data["plan"] = _plan(facts, briefing.judged.plan, briefing.judged.verdict)
    data |= _briefing(briefing) | {"first_moves": [_first_move(m) for m in briefing.first_moves]}
    if isinstance(outcome, Solved):
        best = outcome.plans[0]
        data["alternatives"] = [_alternative(facts, best, other) for other in outcome.plans[1:]]
    if isinstance(outcome, Impossible):
        nearest = outcome.nearest
        data["least_overloaded"] = None if nearest is None else _plan(facts, *nearest)
    return data


def check_data(answer: Answer, briefing: Briefing) -> Data:
    """Return what the judge says of a plan as data."""
    judged = briefing.judged
    data = _head("check", answer)
    return data | {"plan": _plan(judged.facts, judged.plan, judged.verdict)} | _briefing(briefing)


def verdict_data(verdict: Verdict) -> Data:
    """Return violations, soft rules and use of every device."""
    return {
        "holds": verdict.holds,
        "violations": [violation.model_dump(mode="json") for violation in verdict.violations],
        "goals": [goal.model_dump(mode="json") for goal in verdict.goals],
        "devices": [usage.model_dump(mode="json") for usage in verdict.usages],
        "contract": [usage.model_dump(mode="json") for usage in verdict.contract],
        "neutral": [usage.model_dump(mode="json") for usage in verdict.neutral],
        "volts": [seen.model_dump(mode="json") for seen in verdict.volts],
        "notes": list(verdict.notes),
    }


def _head(command: str, answer: Answer) -> Data:
    said = {
        "answer": answer.says.value,
        "text": answer.text,
        "tightest": _usage(answer.tightest),
        "red_flags": list(answer.red_flags),
    }
    return headed(command, said)


def _usage(usage: Usage | None) -> Data | None:
    return None if usage is None else usage.model_dump(mode="json")


def _first_move(move: FirstMove) -> Data:
    return {
        "setup": move.setup,
        "circuit": move.circuit,
        "text": move.text,
        "before_a": float(move.before_a),
        "after_a": float(move.after_a),
        "for_room": move.is_for_room,
    }


def _plan(facts: Facts, plan: Plan, verdict: Verdict) -> Data:
    return {
        "placements": [
            p.model_dump(mode="json") | {"on": _on(facts, p.point)} for p in plan.placements
        ],
        "left_out": [entry.model_dump(mode="json") for entry in plan.left_out],
        "switched_off": [entry.model_dump(mode="json") for entry in plan.switched_off],
        "search": plan.search.model_dump(mode="json"),
        "verdict": verdict_data(verdict),
    }


def _on(facts: Facts, point: str) -> list[str]:
    known = facts.points.get(point)
    return [] if known is None else sorted(known.exposure.might_be_on)


def _alternative(facts: Facts, best: tuple[Plan, Verdict], other: tuple[Plan, Verdict]) -> Data:
    return {
        "plan": _plan(facts, *other),
        "differs": [
            {
                "setup": d.setup,
                "load": d.load,
                "place": d.place,
                "points": list(d.points),
                "instead_of": list(d.instead_of),
                "text": d.text,
            }
            for d in differences(facts, best[0], other[0])
        ],
        "costs": [
            {"goal": c.goal, "best": c.before, "here": c.after, "text": c.text}
            for c in changes(best[1], other[1], facts.lengths)
        ],
    }


def _pull(facts: Facts, pull: Pull) -> Data:
    lengths = {lead.name: lead.length_m for lead in facts.leads if pull.kind == "lead"}
    return {
        "kind": pull.kind,
        "name": pull.name,
        "needed": pull.needed,
        "in_stock": pull.in_stock,
        "length_m": lengths.get(pull.name),
    }


def _briefing(briefing: Briefing) -> Data:
    facts = briefing.judged.facts
    return {
        "reasons": [_reason(facts, reason) for reason in briefing.reasons],
        "must_be_off": [_idle(idle) for idle in briefing.idle if idle.must_be_off],
        "may_run": [_idle(idle) for idle in briefing.idle if not idle.must_be_off],
        "must_stay_on": list(briefing.stay_on),
        "must_stay_on_shared": [
            {"loads": list(s.loads), "circuit": s.circuit, "setups": list(s.setups)}
            for s in briefing.shared
        ],
        "light_that_stays": [_staying(entry) for entry in briefing.staying],
        "between_setups": [_change(change) for change in briefing.changes],
        "pull": [_pull(facts, pull) for pull in briefing.pulls],
        "not_proved": [
            {"about": a.about, "touches": list(a.touches), "text": a.text}
            for a in briefing.assumptions
        ],
        "cautions": list(briefing.cautions),
        "doubts": [
            {"setup": d.setup, "text": d.brief, "limits": list(d.details)} for d in briefing.doubts
        ],
    }


def _reason(facts: Facts, reason: Reason) -> Data:
    return {
        "setup": reason.setup,
        "load": reason.load,
        "units": list(reason.units),
        "place": reason.place,
        "point": reason.point,
        "on": list(reason.on),
        "fullest": _share(reason.fullest),
        "circuit": _share(reason.circuit),
        "is_nearest": reason.is_nearest,
        "nearest": elsewhere_data(reason.nearest),
        "next_best": elsewhere_data(reason.next_best),
        "text": f"{headline(facts, reason)}: {reason_text(facts, reason)}",
    }


def elsewhere_data(there: Elsewhere | None) -> Data | None:
    """Return what one unit would do at another point."""
    if there is None:
        return None
    return {"point": there.point, "holds": there.holds, "text": there.text}


def _share(share: Share | None) -> Data | None:
    return None if share is None else asdict(share)


def _idle(idle: Idle) -> Data:
    return {
        "setup": idle.setup,
        "load": idle.load,
        "by": idle.by,
        "agreed_off": idle.is_agreed,
        "switched_off_by_plan": idle.is_switched_off,
        "may_run_at": list(idle.holds_at),
        "may_run_once_freed_at": list(idle.freed_at),
        "breaks": idle.breaks,
        "over_pct": idle.over_pct,
    }


def _staying(entry: Staying) -> Data:
    return {
        "setup": entry.setup,
        "if": entry.kind,
        "device": entry.device,
        "stays": [{"load": p.load, "unit": p.unit, "point": p.point} for p in entry.lit],
        "goes": [{"load": p.load, "unit": p.unit, "point": p.point} for p in entry.dark],
    }


def _change(change: Change) -> Data:
    return {
        "before": change.before,
        "after": change.after,
        "moves": [
            {
                "load": r.load,
                "unit": r.unit,
                "from": r.from_point,
                "to": r.to_point,
                "cool_down_min": r.cool_down_min,
            }
            for r in change.replugs
        ],
        "carry": [
            {
                "load": c.load,
                "units": c.units,
                "point": c.point,
                "from": c.from_place,
                "to": c.to_place,
            }
            for c in change.carried
        ],
        "strike": [{"load": p.load, "unit": p.unit, "point": p.point} for p in change.struck],
        "plug_in": [{"load": p.load, "unit": p.unit, "point": p.point} for p in change.added],
    }
