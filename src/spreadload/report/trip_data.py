"""What to do after a trip as data: keys are added, never changed or removed."""

from math import inf
from typing import Any

from spreadload.on_the_day.scene.steps import Move
from spreadload.on_the_day.trip.causes import Opened
from spreadload.on_the_day.trip.diagnosis import TripAnswer
from spreadload.on_the_day.trip.lines import radio_line
from spreadload.on_the_day.trip.words import move_line
from spreadload.units import MILLI


def trip_data(answer: TripAnswer) -> dict[str, Any]:
    """Return the answer as data."""
    return {
        "say": radio_line(answer),
        "setup": answer.scene.setup,
        "certain": answer.is_certain,
        "causes": [_cause(each) for each in answer.causes],
        "circuit": answer.circuit,
        "limit": _limit(answer),
        "must_stay_on": list(answer.must_stay_on),
        "second_trip": answer.is_second,
        "earlier_entries": list(answer.earlier),
        "planned_a": answer.planned_a,
        "used_pct": answer.used_pct,
        "unseen_a": _unseen(answer),
        **_remedy(answer),
        **_lessons(answer),
        "region": answer.scene.facts.job.region,
    }


def _cause(found: Opened) -> dict[str, Any]:
    return {
        "cause": found.cause.value,
        "device": found.device,
        "share": round(found.share, 4),
        "sign": found.sign.sign,
        "do": found.sign.do,
    }


def _remedy(answer: TripAnswer) -> dict[str, Any]:
    """Return what moves, what stays off and what comes back in which order."""
    return {
        "move": _move(answer, answer.move),
        "room": _move(answer, answer.room),
        "further": _move(answer, answer.further),
        "away": [_move(answer, move) for move in answer.away],
        "stranded": [{"load": p.load, "unit": p.unit} for p in answer.stranded],
        "may_be_dead": list(answer.may_be_dead),
        "leave_off": _shed(answer),
        "bring_back": [
            {"load": p.load, "unit": p.unit} for p in (answer.back.order if answer.back else ())
        ],
    }


def _lessons(answer: TripAnswer) -> dict[str, Any]:
    """Return what the trip taught of the wiring, and what it does not fit."""
    return {
        "learnt": dict(answer.learnt.found),
        "narrowed": {o: list(left) for o, left in answer.learnt.narrowed.items()},
        "ruled_out_pct": round(answer.learnt.ruled_out_pct, 2),
        "look_again": [
            {"outlet": d.outlet, "dark": d.is_dark, "chance_pct": round(100 * d.chance, 2)}
            for d in answer.doubted
        ],
        "does_not_fit": list(answer.misfits),
        "contradicts": [str(d) for d in answer.disputes],
        "still_broken": list(answer.plan_is_broken),
    }


def _limit(answer: TripAnswer) -> dict[str, Any] | None:
    limit, carried = answer.limit, answer.carried
    if limit is None or carried is None:
        return None
    per = 1 if limit.unit == "W" else MILLI
    return {
        "kind": limit.kind.value,
        "id": limit.id,
        "unit": limit.unit,
        "counted": carried.counted / per,
        "actual": carried.actual / per,
        "cap": carried.cap / per,
    }


def _unseen(answer: TripAnswer) -> dict[str, float | str | None] | None:
    found = answer.intruder
    if found is None:
        return None
    high = None if found.high_a == inf else found.high_a
    return {"low_a": found.low_a, "high_a": high, "named": found.named}


def _shed(answer: TripAnswer) -> dict[str, Any] | None:
    found = answer.shed
    if found is None:
        return None
    is_amps = answer.limit is not None and answer.limit.is_amps
    return {
        "waits": [f"{p.load} {p.unit}" for p in found.waits],
        "off": list(dict.fromkeys((*(p.load for p in found.off), *found.wired))),
        "asked": [f"{p.load} {p.unit}" for p in found.asked],
        "dark": [f"{p.load} {p.unit}" for p in found.dark],
        "after_a": found.after.counted / MILLI if is_amps else None,
        "used_pct": found.used_pct,
        "enough": found.is_enough,
    }


def _move(answer: TripAnswer, move: Move | None) -> dict[str, Any] | None:
    if move is None:
        return None
    is_amps = move.limit.is_amps
    return {
        "say": move_line(answer.scene.facts, move),
        "steps": [
            {
                "load": s.unit.load,
                "unit": s.unit.unit,
                "from": s.unit.point,
                "to": s.to.point,
                "lead": s.to.lead,
                "setups": list(s.setups),
                "cool_down_min": s.cool_down_min,
                "proven": s.is_proven,
            }
            for s in move.steps
        ],
        "circuit": move.circuit,
        "before_a": move.before.counted / MILLI if is_amps else None,
        "after_a": move.after.counted / MILLI if is_amps else None,
        "used_pct": move.used_pct,
        "fails_pct": round(100 * move.risk, 2),
    }
