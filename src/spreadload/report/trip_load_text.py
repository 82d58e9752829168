"""What was on it when it opened: by the plan, by the clock, by leakage."""

from math import inf

from spreadload.explain.names import unit_name
from spreadload.on_the_day.scene.limit_of import leakage_limit
from spreadload.on_the_day.scene.limits import Kind, Limit
from spreadload.on_the_day.trip.causes import NOT_OF_AMPS_ALONE, Cause
from spreadload.on_the_day.trip.diagnosis import TripAnswer
from spreadload.on_the_day.trip.suspects import like_an_arc
from spreadload.on_the_day.trip.words import amount, at, band_words, cap_words, limit_name
from spreadload.plan import Placement
from spreadload.report.style import Style
from spreadload.units import MILLI, whole_milliamps
from spreadload.words import first_up, row

_SHOWN = 12
_MINUTE_S = 60


def load_lines(answer: TripAnswer, style: Style) -> list[str]:
    """Return what the plan has on what opened, and what the clock says of it."""
    limit, carried = answer.limit, answer.carried
    if limit is None or carried is None:
        return []
    if limit.kind is Kind.LEAKAGE:
        return _leakage(answer, style)
    facts = answer.scene.facts
    title = (
        f"On {limit_name(facts, limit)} by the plan: {amount(limit, carried.counted)} of "
        f"{cap_words(limit, carried.cap)}, {carried.used_pct} %"
    )
    each = [_each(answer, limit, p) for p in limit.on(answer.scene)]
    each += [
        f"{group.load.id} {amount(limit, limit.wired_amount(answer.scene, group))}, wired in"
        for group in limit.wired(answer.scene)
    ]
    if len(each) > _SHOWN:
        each = [*each[:_SHOWN], f"{len(each) - _SHOWN} more"]
    lines = [style.wrap(", ".join(each) or "nothing", first="  ", rest="  ")]
    if carried.counted > carried.actual:
        flows = f"Long loads count for more here: {amount(limit, carried.actual)} A really flows."
        lines.append(style.wrap(flows, first="  ", rest="  "))
    told = [*_kept_off(answer), *_clock(answer), *_arcs(answer, limit)]
    lines += [style.wrap(text, first="  ", rest="  ") for text in told]
    return style.section(title, lines) + _leakage(answer, style)


def _each(answer: TripAnswer, limit: Limit, p: Placement) -> str:
    scene = answer.scene
    parts = limit.parts(scene, p)
    size = max(counted for counted, _ in parts.values())
    return f"{unit_name(scene.facts, p.load, p.unit)} {amount(limit, size)} at {at(scene.facts, p)}"


def _kept_off(answer: TripAnswer) -> list[str]:
    """Return what the plan has switched off, and what may have come on all the same."""
    if not answer.kept_off:
        return []
    verb, it = ("is", "it is") if len(answer.kept_off) == 1 else ("are", "they are")
    return [f"{first_up(row(answer.kept_off))} {verb} off by the plan: see that {it}."]


def _clock(answer: TripAnswer) -> list[str]:
    said = []
    delay, intruder = answer.delay, answer.intruder
    if delay is not None:
        band = f"{delay.low:.1f} to {delay.high:.1f}" if delay.high < inf else f"{delay.low:.1f} up"
        tells = (
            "says nothing about the steady load"
            if delay.says_nothing
            else f"means {band} times its rating"
        )
        said.append(f"After {_duration(delay.seconds)}: {delay.words}; {tells}.")
    if intruder is not None and intruder.is_sized:
        is_sure = answer.causes[0].cause not in NOT_OF_AMPS_ALONE
        by_amps = "" if is_sure else "If amps opened it, "
        band = f"{by_amps}{band_words(intruder)}"
        look = (
            "more than two plugs draw: a fault, most likely in what was just switched on, or "
            "several heaters."
            if intruder.is_beyond_plugs
            else "look for a heater, kettle or dryer, not for a wrong plate."
        )
        said.append(f"{first_up(band)} is on it that is not in the plan: {look}")
    elif delay is not None and not delay.says_nothing and answer.is_ours:
        said.append("The plan's own load is reason enough, on a warm board.")
    if intruder is not None and intruder.named:
        said.append(f"The {intruder.named} is not in the plan there: unplug it first.")
    return said


def _arcs(answer: TripAnswer, limit: Limit) -> list[str]:
    """Return what an arc-fault breaker may have taken for an arc, whatever its amps."""
    if answer.causes[0].cause is not Cause.ARC_FAULT:
        return []
    found = like_an_arc(answer.scene, limit, answer.just)
    alike = [unit_name(answer.scene.facts, p.load, p.unit) for p in found]
    few = f"{row(alike[:_SHOWN])} may look like one to it" if alike else "nothing here looks so"
    bare = "If it goes again bare it is a bad contact: leave it off, licensed electrician."
    return [f"It opens on an arc too, whatever the amps: {few}. {bare}"]


def _leakage(answer: TripAnswer, style: Style) -> list[str]:
    found = answer.leaking
    if found is None:
        return []
    limit = leakage_limit(answer.scene, found.rcd)
    title = (
        f"Behind {limit_name(answer.scene.facts, limit)} by the plan: "
        f"{whole_milliamps(found.sum_ua)} mA standing leakage; "
        f"may open from {found.may_trip_ua / MILLI:g} mA"
    )
    each = [_each(answer, limit, p) for p in found.suspects[:_SHOWN]]
    if len(found.suspects) > _SHOWN:
        each.append(f"{len(found.suspects) - _SHOWN} more")
    why = (
        "The sum alone explains it: move an electronic ballast to another RCD."
        if found.is_sum
        else "The sum does not explain it: one item is damp or faulty; newest first."
    )
    if answer.causes[0].cause is Cause.RCBO and not found.is_sum:
        why = "If leakage opened it, one item is damp or faulty: newest first."
    return style.section(
        title,
        [style.wrap(text, first="  ", rest="  ") for text in (", ".join(each) or "nothing", why)],
    )


def _duration(seconds: float) -> str:
    if seconds < 1:
        return "no time at all"
    if seconds < _MINUTE_S:
        return f"{seconds:.0f} s"
    minutes = seconds / _MINUTE_S
    return f"{minutes:.0f} min" if minutes < _MINUTE_S else f"{minutes / _MINUTE_S:.2g} h"
