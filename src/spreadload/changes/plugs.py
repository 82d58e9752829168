"""A job in which plugs no longer stand in the way. An edit; decides nothing."""

from typing import Any

from spreadload import practice
from spreadload.changes.edits import add_outlet
from spreadload.derived.kit import plug_ma, usual_plug
from spreadload.job.base import MAX_AMPS
from spreadload.job.job import Job
from spreadload.job.phases import phases_of
from spreadload.job.site import Circuit, Outlet

_ADDED = "an outlet for every plug"


def with_plug_taken(job: Job, *, group: str, load: str, unit_ma: int) -> Job:
    """Return the job in which the plug of a load no longer stands in its way.

    A plug of three phases finds an outlet of its kind on a way of its own; any other finds its like
    at every outlet. A plug that cannot carry the load, or has more phases than the house, is first
    changed for one that can.

    Args:
        job: Any job with the load in it.
        group: Where the load stands: heads, departments or house.
        load: Its id.
        unit_ma: What one unit draws on a single phase [mA].
    """
    stated = getattr(job, group)[load].plug or usual_plug(job.region, unit_ma)
    phases = phases_of(job)
    has_three = practice.plug(stated).is_three_phase
    is_served = has_three and practice.plug(stated).phases <= len(phases)
    plug = stated if is_served else _plug_enough(job.region, stated, unit_ma)
    changed = getattr(job, group) | {
        load: getattr(job, group)[load].model_copy(update={"plug": plug})
    }
    replugged = job.model_copy(update={group: changed})
    if not has_three:
        return with_one_plug(replugged, plug)
    outlet = Outlet(plug=plug, plate_a=MAX_AMPS, socket_a=MAX_AMPS)
    way = Circuit(breaker_a=MAX_AMPS, phase=phases if is_served else phases[0])
    return add_outlet(replugged, _ADDED, outlet, way)


def _plug_enough(region: str, stated: str, unit_ma: int) -> str:
    """Return the first single-phase plug that carries a load: its own if that does."""
    known = (stated, usual_plug(region, unit_ma), *sorted(practice.plug_ids()))
    fitting = (p for p in known if not practice.plug(p).is_three_phase and plug_ma(p) >= unit_ma)
    return next(fitting, known[1])


def with_one_plug(job: Job, plug: str) -> Job:
    """Return the job with every single-phase plug and socket of one kind, whatever it was.

    Boxes and what has more phases stay as they are.
    """
    ordinary = practice.region(job.region).ordinary_plug

    def changed(stated: Any, *keys: str) -> Any:  # noqa: ANN401 - any entry with a plug
        now = {key: getattr(stated, key) or ordinary for key in keys}
        new = {key: plug for key, one in now.items() if not practice.plug(one).is_three_phase}
        return stated.model_copy(update=new)

    each: dict[str, Any] = {
        group: {name: changed(entry, "plug") for name, entry in getattr(job, group).items()}
        for group in ("outlets", "heads", "departments", "house")
    }
    if job.lists_leads:
        each["leads"] = tuple(changed(lead, "plug", "socket") for lead in job.leads)
    each["power_boards"] = tuple(changed(board, "plug") for board in job.power_boards)
    return job.model_copy(update=each)
