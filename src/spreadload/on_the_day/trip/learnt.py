"""What a trip proves about the wiring, and how much of what was thought possible it rules out.

Only what is so on every map that is left counts as proven. Never imports the solver.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation
from spreadload.on_the_day.scene.scene import Scene
from spreadload.wiring.evidence import hard_facts
from spreadload.wiring.taught import agrees, left_open


@dataclass(frozen=True)
class Learnt:
    """What one trip taught.

    Attributes:
        found: Outlets whose circuit is proven since, with the circuit.
        narrowed: Outlets with fewer circuits left, with those.
        gone: Of the outlets with fewer circuits left, those they are not on.
        ruled_out_pct: Share of the wirings still possible before that it ruled out [%].
    """

    found: Mapping[str, str] = field(default_factory=dict)
    narrowed: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    gone: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    ruled_out_pct: float = 0.0


def learnt(before: Scene, job: Job, log: Log, entry: Observation) -> Learnt:
    """Return what an entry taught beyond the log before it.

    Args:
        before: The house as known before.
        job: The job.
        log: The log without the entry.
        entry: What the trip adds.
    """
    after = Log(observations=(*log.observations, entry))
    was, left = left_open(job, log), left_open(job, after)
    facts = hard_facts(job, after)[len(hard_facts(job, log)) :]
    true = np.ones(len(before.maps), dtype=bool)
    for fact in facts:
        true &= agrees(fact, before.maps)
    return Learnt(
        found={o: min(some) for o, some in left.items() if len(some) == 1 < len(was[o])},
        narrowed={
            o: tuple(sorted(some)) for o, some in left.items() if 1 < len(some) < len(was[o])
        },
        gone={
            o: tuple(sorted(was[o] - some))
            for o, some in left.items()
            if 1 < len(some) < len(was[o])
        },
        ruled_out_pct=100 * before.maps.share(~true),
    )
