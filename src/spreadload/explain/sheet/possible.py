"""The wirings a house may still have, small enough to carry in a pocket.

The page narrows these down by what is dark and what is not; where an observation leaves none of
them, the circuits each outlet may be on still bound the answer.
"""

from typing import Any

from spreadload.derived.facts import Facts
from spreadload.job.observations import Log
from spreadload.wiring.evidence import is_wiring_open, possible
from spreadload.wiring.maps import maps_of
from spreadload.wiring.model import WiringModel

DRAWN = 2000
KEPT = 400
SEED = 11
WEIGHT_SCALE = 1_000_000


def possible_wirings(facts: Facts, log: Log | None = None) -> dict[str, Any]:
    """Return possible circuits per outlet and weighted maps: circuits by number, outlet by outlet.

    Weights are whole millionths. ``kept_pct`` says how much of all that was drawn is here.
    """
    job = facts.job
    circuits = list(facts.circuits)
    allowed = {o: sorted(them, key=circuits.index) for o, them in possible(job).items()}
    outlets = list(job.outlets)
    if not is_wiring_open(job) or not outlets:
        known = [circuits.index(allowed[o][0]) if len(allowed[o]) == 1 else -1 for o in outlets]
        maps, kept_pct = [[WEIGHT_SCALE, *known]], 100
        return _data(circuits, outlets, allowed, maps) | {"exact": True, "kept_pct": kept_pct}
    drawn = maps_of(WiringModel.of(job, log), DRAWN, SEED).merged(outlets)
    number = [circuits.index(c) for c in drawn.circuits]
    kept = min(len(drawn), KEPT)
    maps = [
        [max(1, round(float(drawn.weights[n]) * WEIGHT_SCALE)), *(number[c] for c in drawn.on[n])]
        for n in range(kept)
    ]
    share = float(drawn.weights[:kept].sum())
    is_exact = drawn.is_exact and kept == len(drawn)
    return _data(circuits, outlets, allowed, maps) | {
        "exact": is_exact,
        "kept_pct": int(share * 100),
    }


def _data(
    circuits: list[str],
    outlets: list[str],
    allowed: dict[str, list[str]],
    maps: list[list[int]],
) -> dict[str, Any]:
    return {"circuits": circuits, "outlets": outlets, "allowed": allowed, "maps": maps}
