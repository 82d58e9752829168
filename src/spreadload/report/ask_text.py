"""The answer to “may I plug this in here?”, spoken first, for a terminal and as data."""

from collections.abc import Sequence
from typing import Any

from spreadload.check.words import in_100
from spreadload.job.red_flags import until_cleared
from spreadload.on_the_day.ask.question import ANYWHERE
from spreadload.on_the_day.ask.reply import Reply, Says, Spot
from spreadload.on_the_day.ask.room_left import Link
from spreadload.report.style import Style
from spreadload.units import FULL_PCT, MILLI, shown_amps, shown_capacity_amps
from spreadload.words import in_setup, row, setup_names


def ask_text(reply: Reply, style: Style, red_flags: Sequence[str] = ()) -> str:
    """Return the answer; the first line can be read out over the radio."""
    first = until_cleared(_first_line(reply), red_flags)
    lines = [style.strong(style.wrap(first, rest="  "))]
    lines += style.entries(_likely(reply))
    if reply.unless_heat_ma is not None:
        lines.append(style.entry(_as_heat(reply.unless_heat_ma)))
    lines += style.entries(reply.reasons)
    if reply.spot is not None:
        lines += _chain(reply.spot, style)
    for spot in reply.others[1:]:
        lines.append(style.entry(f"Or {_there(spot)}"))
    lines += [
        style.entry(f"At {each.point} if {each.load} is off in {setup_names(each.setups)}")
        for each in reply.only_if
    ]
    if reply.was_broken:
        lines.append(style.entry(_was_broken(reply)))
    return "\n".join(lines)


def _first_line(reply: Reply) -> str:
    asked, amps = reply.question.words, f"{shown_amps(reply.needs_a)} A"
    asked = f"one more {asked}" if reply.question.is_one_more else asked
    # Who asks in amps need not hear them twice.
    load = amps if asked.replace(" ", "").upper() == f"{reply.needs_a:g}A" else f"{asked} ({amps})"
    when = setup_names(reply.question.setups)
    match reply.says:
        case Says.YES if reply.spot is not None:
            return f"YES: {load} at {_there(reply.spot)}, in {when}"
        case Says.ELSEWHERE:
            return f"NO, BUT THERE: {load} not at {reply.question.where}; {_there(reply.others[0])}"
        case Says.ONLY_IF:
            names = row([each.load for each in reply.only_if], "or")
            return f"ONLY IF {names} is off: {load} {_at(reply)}, in {when}"
        case _:
            return f"NO: {load} fits nowhere in {when}"


def _at(reply: Reply) -> str:
    """Return where the load may be then: one outlet wherever it is one for all that may be off."""
    points = {each.point for each in reply.only_if}
    where = reply.question.where
    if len(points) == 1:
        return f"at {points.pop()}"
    return ANYWHERE if where.casefold() == ANYWHERE else f"at {where}"


def _there(spot: Spot) -> str:
    left = shown_capacity_amps(max(spot.tightest.room_ma, 0) / MILLI)
    likely = "" if spot.trips is None else " most likely"
    return f"{spot.point}, {spot.how}: room{likely} for {left} A ({_limit(spot.tightest)})"


def _likely(reply: Reply) -> list[str]:
    """Return how often an answer for the likeliest wiring is wrong."""
    spot = reply.spot or next(iter(reply.others), None)
    if spot is None or spot.trips is None or reply.tripped is None:
        return []
    now, then = (in_100(share * FULL_PCT) for share in (reply.tripped, spot.trips))
    if now == then:
        return [f"Trips on {now} ways this house could be wired, as without it."]
    return [f"Trips on {then} ways this house could be wired; without it on {now}."]


def _as_heat(most_ma: int) -> str:
    most = shown_capacity_amps(most_ma / MILLI)
    return (
        "Taken to make heat, as a kettle or an iron does: for minutes it may fill its socket, with "
        f"nothing beside it. Anything else may take {most} A on one plug here."
    )


def _was_broken(reply: Reply) -> str:
    if reply.tripped is None:
        return "The plan passes a limit even without this; see `check`."
    ways = in_100(reply.tripped * FULL_PCT)
    return (
        f"Even without this the plan trips on {ways} ways this house could be wired, the likeliest "
        "among them, by which this is answered."
    )


def _limit(link: Link) -> str:
    return f"{link.name}{in_setup(link.setup)}"


def _chain(spot: Spot, style: Style) -> list[str]:
    lines = [
        f"  {shown_capacity_amps(max(link.room_ma, 0) / MILLI):>6} A of "
        f"{shown_capacity_amps(link.limit_ma / MILLI):>6} A  {_limit(link)}"
        for link in spot.chain
    ]
    lines += style.entries(spot.also)
    if spot.lowest_v is not None:
        lines.append(f"  Lowest volts then: {spot.lowest_v:.0f} V")
    return style.section("Room on the way from the socket to the street, without it", lines)


def ask_data(reply: Reply) -> dict[str, Any]:
    """Return the same as data."""
    return {
        "answer": reply.says.value,
        "load": reply.question.words,
        "needs_a": round(reply.needs_a, 3),
        "where": reply.question.where,
        "setups": list(reply.question.setups),
        "spot": None if reply.spot is None else _spot_data(reply.spot),
        "others": [_spot_data(spot) for spot in reply.others],
        "only_if_off": [
            {"load": each.load, "setups": list(each.setups), "at": each.point}
            for each in reply.only_if
        ],
        "reasons": list(reply.reasons),
        "plan_was_broken": reply.was_broken,
        "trips_without_pct": _pct(reply.tripped),
        "unless_heat_a": None if reply.unless_heat_ma is None else reply.unless_heat_ma / MILLI,
    }


def _pct(share: float | None) -> float | None:
    return None if share is None else round(share * FULL_PCT, 2)


def _spot_data(spot: Spot) -> dict[str, Any]:
    return {
        "point": spot.point,
        "how": spot.how,
        "room_a": spot.tightest.room_ma / MILLI,
        "limited_by": _limit(spot.tightest),
        "lowest_v": spot.lowest_v,
        "trips_pct": _pct(spot.trips),
        "also": list(spot.also),
        "chain": [
            {
                "limit": link.name,
                "setup": link.setup,
                "room_a": link.room_ma / MILLI,
                "of_a": link.limit_ma / MILLI,
            }
            for link in spot.chain
        ],
    }
