"""A day of three set-ups that is half over: what is rigged, and what to ask of it."""

import json
from pathlib import Path
from typing import Any

from builders import amps, circuit, outlet, plan_of, put, setup, small_data
from spreadload.app.loaded import Day, load_day
from spreadload.app.replan import ReplanSaid, ReplanTold, replan

RIGGED = plan_of(
    put("lamp", "O1", name="SU1", place="lounge", unit=1),
    put("lamp", "O2", name="SU1", place="lounge", unit=2),
    put("lamp", "O1", name="SU2", place="lounge", unit=1),
    put("lamp", "O2", name="SU2", place="lounge", unit=2),
    put("lamp", "O3", name="SU3", place="lounge", unit=1),
    put("kettle", "O2", name="SU3"),
)


def house(**changes: object) -> dict[str, Any]:
    """Return three circuits of 10 A with an outlet each, and a day of three set-ups."""
    stated: dict[str, object] = {
        "circuits": {name: circuit(10.0) for name in ("P1", "P2", "P3")},
        "outlets": {
            "O1": outlet("P1", "lounge"),
            "O2": outlet("P2", "bed"),
            "O3": outlet("P3", "lounge"),
        },
        "heads": {"lamp": amps(4.0, count=2)},
        "departments": {"kettle": amps(5.0, kind="heater")},
        "setups": [
            setup("SU1", lamp={"lounge": 2}),
            setup("SU2", lamp={"lounge": 2}),
            setup("SU3", on=["kettle"], lamp={"lounge": 1}),
        ],
    }
    return small_data(**(stated | changes))


def day_in(folder: Path, **changes: object) -> Day:
    """Return a day on file, so that notes can be added to it."""
    (folder / "job.yaml").write_text(json.dumps(house(**changes)), encoding="utf-8")
    return load_day(folder)


def told(day: Day, since: str = "SU2", **said: object) -> ReplanTold:
    """Return what to change from a set-up on."""
    return replan(day, RIGGED, ReplanSaid(since, **said))  # type: ignore[arg-type]
