"""Habits of house wiring per region, read from package data; the job may override any of them.

Data and look-ups only. Imports nothing of the project but its neighbours and errors.
"""

from functools import cache
from typing import Any

from spreadload.practice.load import REGION_IDS, build, check_regions, read_data
from spreadload.practice.records import Figure, Record


class WiringHabits(Record):
    """Every number the prior over wirings is made of; names and units as in the data file."""

    stray_pct: Figure
    stray_anywhere_pct: Figure
    stray_reach_m: Figure
    back_to_back_pct: Figure
    back_to_back_m: Figure
    halving_m: Figure
    run_spread_pct: Figure
    floor_m: Figure
    outlet_room_m: Figure
    label_wrong_pct: Figure
    unseen_pct: Figure
    by_run_pct: Figure
    odd_pct: Figure
    guess_pct: Figure
    size_factor: Figure
    story_factor: Figure
    label_factor: Figure
    held_spread_pct: Figure
    held_trip_pct: Figure
    held_odd_pct: Figure
    step_spread_v: Figure
    step_shared_v: Figure
    own_circuit_m: dict[str, Figure]
    outlets_per_circuit: Figure
    toggle_a: dict[str, Figure]


@cache
def wiring_habits(region_id: str) -> WiringHabits:
    """Return the habits of a region: common rows with the region's own on top."""
    data = dict(read_data("wiring.yaml"))
    regions: dict[str, dict[str, Any]] = data.pop("regions", {})
    check_regions(tuple(regions), "wiring.yaml")
    own = regions.get(region_id if region_id in REGION_IDS else "", {})
    merged = data | own
    merged["own_circuit_m"] = data["own_circuit_m"] | own.get("own_circuit_m", {})
    return build(WiringHabits, merged, "wiring.yaml")
