"""What the crew believes about the wiring: everything a job may say over the usual habits.

Beliefs, not facts: nothing here rules a circuit out. Facts stand with the outlets, in
``same_circuit`` and ``different_circuit``, and in the log.
"""

from typing import Annotated

from pydantic import Field

from spreadload.job.base import Metres, Stated, Text

Share = Annotated[float, Field(ge=0, le=90, description="a share in per cent")]
Odds = Annotated[float, Field(ge=0, le=1000)]


class Wiring(Stated):
    """Beliefs about which outlets share a breaker; anything not stated follows regional habit.

    Attributes:
        stray_pct: Chance that an outlet is not on the circuit of its room.
        back_to_back_pct: Chance that an outlet follows the room behind the wall it is on.
        back_to_back_m: Up to how far apart two outlets of two rooms count as back to back.
        label_wrong_pct: Chance that a label naming a room says nothing about it.
        unseen_pct: Chance that a circuit feeds no outlet on the list.
        by_run_pct: Chance that the house is wired along the walls rather than room by room.
        odd_pct: Chance that its wiring follows no pattern at all.
        guess_pct: How sure a circuit is that was merely guessed.
        floor_m: What a floor between two rooms counts as, in metres between them.
        own_circuit_m: By use of room (or ``upper floor``): metres its distance to others grows by,
            because such rooms tend to have a circuit of their own.
        outlets_per_circuit: Usual number of outlets on one circuit.
        zones: Rooms believed to share a circuit, by a name for each zone.
        outlets: By outlet: weights of what it may be on, each a circuit, a zone or a room.
    """

    stray_pct: Share | None = None
    back_to_back_pct: Share | None = None
    back_to_back_m: Metres | None = None
    label_wrong_pct: Share | None = None
    unseen_pct: Share | None = None
    by_run_pct: Share | None = None
    odd_pct: Share | None = None
    guess_pct: Annotated[float, Field(gt=0, lt=100)] | None = None
    floor_m: Metres | None = None
    own_circuit_m: dict[Text, Metres] = {}
    outlets_per_circuit: Annotated[float, Field(ge=1, le=60)] | None = None
    zones: dict[Text, tuple[Text, ...]] = {}
    outlets: dict[Text, dict[Text, Odds]] = {}
