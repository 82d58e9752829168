"""Lists for the truck: what to pull, what each load draws, labels, test record, logs, return."""

from spreadload import practice
from spreadload.derived.asked import hours
from spreadload.derived.records import LoadFacts
from spreadload.explain.briefing import Briefing
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import room_name
from spreadload.explain.sheet.board import ways_in_order
from spreadload.explain.sheet.department_table import department_table
from spreadload.explain.sheet.label_table import label_table
from spreadload.explain.sheet.pull_table import inline_rcds, pull_table
from spreadload.explain.sheet.records import Table
from spreadload.job.kit import Load, Policy
from spreadload.job.observations import Log, Observation, Seen
from spreadload.units import MILLI, shown_amps
from spreadload.words import row, setup_name

# Who signs: the gaffer, the location, and the person whom the region holds responsible.
SIGNED_BY = ("gaffer", "location / owner", "responsible person for electrical work")

_TRIPS = (Seen.TRIP, Seen.RCD)
_TRIP_LINES = 10

_AS_FOUND = (
    "fridge and freezer cold", "hot water", "heat pump", "timers and clocks", "alarm", "router",
    "plates and outlets undamaged", "faults found, told to owner", "photo pairs taken",
)  # fmt: skip


def tables(briefing: Briefing, log: Log | None = None) -> tuple[Table, ...]:
    """Return every list, in the order a crew needs them.

    Args:
        briefing: The plan, explained.
        log: What was observed so far; its trips open the trip log.
    """
    judged = briefing.judged
    labels = label_table(judged)
    return (
        pull_table(briefing, len(labels.rows)),
        _loads(judged),
        department_table(judged),
        labels,
        _tests(judged),
        _trips(log or Log()),
        _returns(judged),
    )


def _loads(judged: JudgedPlan) -> Table:
    volts = judged.facts.supply.planning_v
    rows = []
    for load in judged.facts.loads.values():
        stated = judged.facts.job.heads.get(load.id) or judged.facts.load_stated(load.id)
        ballast = stated.ballast.value if stated is not None and stated.ballast else ""
        cool = load.replug_cost - 1
        source = load.draw.source + (" (assumed)" if load.draw.is_assumed else "")
        rows.append(
            (
                load.id,
                load.what,
                str(load.count),
                f"{load.draw.power_w.worst:.0f}",
                shown_amps(load.unit_ma[_poles(judged, load)] / MILLI),
                f"{_power_factor(load):.2f}",
                ballast,
                source,
                _plug(judged, load),
                _start(judged.facts.load_stated(load.id)),
                f"{load.leakage_ua / MILLI:g}",
                load.leakage_source,
                f"{cool} min" if cool else "",
                stated.note if stated is not None else "",
            )
        )
    columns = (
        "id", "item", "qty", "watts", f"amps at {volts:g} V", "power factor", "ballast",
        "source of the figure", "plug", "starts", "leakage mA", "source of leakage", "cool-down",
        "notes",
    )  # fmt: skip
    return Table(
        "load-schedule", "Load schedule", columns, tuple(rows), "Amps are per unit and pole."
    )


def _power_factor(load: LoadFacts) -> float:
    """Return the power factor that the amps are planned with, so that a row adds up."""
    apparent = load.draw.apparent_va
    return load.draw.power_factor if apparent is None else load.draw.power_w.worst / apparent.worst


def _poles(judged: JudgedPlan, load: LoadFacts) -> int:
    stated = judged.facts.load_stated(load.id)
    if stated is not None and stated.circuit is not None:
        return judged.facts.circuits[stated.circuit].poles
    return practice.plug(load.plug).phases


def _plug(judged: JudgedPlan, load: LoadFacts) -> str:
    stated = judged.facts.load_stated(load.id)
    if stated is not None and stated.circuit is not None:
        return "wired"
    return load.plug + (" (assumed)" if load.plug_is_assumed else "")


def _start(stated: Load | None) -> str:
    """Return whether a load comes on by itself, and when."""
    if stated is None or not (stated.starts_by_itself or stated.starts_from):
        return ""
    when = f" {stated.starts_from} to {stated.starts_to}" if stated.starts_from else ""
    return f"by itself{when}"


def _tests(judged: JudgedPlan) -> Table:
    rows = [
        _tested("RCD", rcd, f"{facts.trips_at_ma:g} mA")
        for rcd, facts in judged.facts.rcds.items()
        if "/" not in rcd
    ]
    region = practice.region(judged.facts.job.region)
    rows += [
        _tested(region.rcd_kind, f"plug-in {n}", f"{region.rcd_ma.value:g} mA")
        for n in range(1, inline_rcds(judged).needed + 1)
    ]
    for outlet in judged.facts.job.outlets:
        barred = "off limits, leave alone" if judged.facts.points[outlet].is_off_limits else ""
        rows.append(_tested("outlet", outlet, outlet_where(judged, outlet), barred))
    columns = (
        "what", "id", "where / rating", "button test ok", "trip time ms, by whom, instrument",
        "socket tester", "date", "action",
    )  # fmt: skip
    note = "Trip-time tests and anything behind a cover belong to a licensed electrician."
    return Table("test-record", "RCD and outlet test record", columns, tuple(rows), note)


def _tested(what: str, name: str, rating: str, action: str = "") -> tuple[str, ...]:
    return (what, name, rating, "", "", "", "", action)


def outlet_where(judged: JudgedPlan, outlet_id: str) -> str:
    """Return where an outlet is: ``lounge, N wall``."""
    outlet = judged.facts.job.outlets[outlet_id]
    name = room_name(judged.facts.job, outlet.room)
    return ", ".join(part for part in (name, outlet.where) if part)


def _trips(log: Log) -> Table:
    """Return the trip log: what was logged so far, and lines to go on writing."""
    rows = tuple(_tripped(seen) for _, seen in log.standing if seen.what in _TRIPS)
    columns = (
        "time", "device", "kind", "on for how long", "just switched on", "dark outlets",
        "still on", "plan amps", "cause found", "what moved", "back at", "min lost", "taught",
    )  # fmt: skip
    note = "A device that opens again is left open: something is wrong, call the electrician."
    return Table("trip-log", "Trip log", columns, rows, note, blank=_TRIP_LINES)


def _tripped(seen: Observation) -> tuple[str, ...]:
    device = seen.rcd or row(seen.circuits)
    told = (seen.when, device, seen.what.value, "", "", row(seen.dark), row(seen.still_on))
    return (*told, "", "", "", "", "", seen.note)


def _returns(judged: JudgedPlan) -> Table:
    job = judged.facts.job
    off = {entry.load for entry in judged.plan.switched_off}
    rows = [
        ("house load", load_id, load.what or load_id, _left(load_id, off, load.policy or ""))
        for load_id, load in job.house.items()
    ]
    rows += [("breaker", c, job.circuits[c].label, "") for c in ways_in_order(judged)]
    rows += [("RCD", rcd, "", "") for rcd in job.rcds]
    rows += _energy(judged)
    rows += [("house", name, "", "") for name in _AS_FOUND]
    rows += [("signature", who, "", "") for who in SIGNED_BY]
    columns = ("what", "id", "label", "for the shoot", "as found", "as left", "checked by")
    lines = tuple((*each, "", "", "") for each in rows)
    note = "Take pairs of photos: board, plates and leads as found and as left."
    return Table("return-sheet", "Return sheet: the house as found", columns, lines, note)


def _left(load_id: str, off: set[str], policy: str) -> str:
    if load_id in off:
        return "switched off: put back on"
    return f"{policy}: put back as found" if policy == Policy.MUST_BE_OFF else policy


def _energy(judged: JudgedPlan) -> list[tuple[str, str, str, str]]:
    """Return what each set-up takes if all of it is on all the time, where its times are known."""
    found = []
    for setup in judged.facts.job.setups:
        long = hours(setup)
        if long is not None:
            wired = ((judged.facts.loads[d.load], d.count) for d in judged.wired(setup.id))
            on = [*((judged.load(p), 1) for p in judged.by_setup[setup.id]), *wired]
            power_w = sum(load.draw.power_w.likely * count for load, count in on)
            text = f"about {power_w * long / MILLI:.1f} kWh in {long:g} h with all of it on"
            found.append(("energy", setup_name(setup.id), setup.name, text))
    return [*found, ("energy", "meter before and after, price of a kWh", "", "")]
