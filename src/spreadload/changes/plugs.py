"""A job in which plugs no longer stand in the way. An edit; decides nothing."""

from typing import Any

from spreadload import practice
from spreadload.job.job import Job


def with_one_plug(job: Job, plug: str) -> Job:
    """Return the job with every single-phase plug and socket of one kind, whatever it was.

    Boxes and what has more phases stay as they are.
    """
    ordinary = practice.region(job.region).ordinary_plug

    def changed(stated: Any, *keys: str) -> Any:  # noqa: ANN401 - any entry with a plug
        now = {key: getattr(stated, key) or ordinary for key in keys}
        new = {key: plug for key, one in now.items() if practice.plug(one).phases == 1}
        return stated.model_copy(update=new)

    each: dict[str, Any] = {
        group: {name: changed(entry, "plug") for name, entry in getattr(job, group).items()}
        for group in ("outlets", "heads", "departments", "house")
    }
    each["leads"] = tuple(changed(lead, "plug", "socket") for lead in job.leads)
    each["power_boards"] = tuple(changed(board, "plug") for board in job.power_boards)
    return job.model_copy(update=each)
