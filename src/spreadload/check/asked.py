"""Which units each set-up asks for, looked up by load and place."""

from dataclasses import dataclass

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts


@dataclass(frozen=True, slots=True)
class Asked:
    """What one set-up asks for.

    Attributes:
        by_load: Demands with a plug, by load and place.
        wired: Hard-wired demands by load.
        total: Units of each load with a plug.
    """

    setup: str
    by_load: dict[str, dict[str | None, Demand]]
    wired: dict[str, Demand]
    total: dict[str, int]

    @classmethod
    def of(cls, facts: Facts, setup: str) -> "Asked":
        """Index the demands of one set-up."""
        by_load: dict[str, dict[str | None, Demand]] = {}
        wired: dict[str, Demand] = {}
        for demand in facts.demands[setup]:
            if demand.circuit is None:
                by_load.setdefault(demand.load, {})[demand.place] = demand
            else:
                wired[demand.load] = demand
        total = {load: sum(d.count for d in places.values()) for load, places in by_load.items()}
        return cls(setup, by_load, wired, total)

    def every(self, load: str) -> list[Demand]:
        """Return all demands of one load, plugged in or wired."""
        if load in self.wired:
            return [self.wired[load]]
        return list(self.by_load.get(load, {}).values())

    def find(self, load: str, place: str | None) -> Demand | None:
        """Return the demand that an entry of a plan speaks of.

        The place may be left away where a load stands at one place only.
        """
        places = self.by_load.get(load, {})
        if place in places:
            return places[place]
        if len(places) == 1:
            (only,) = places.values()
            if place is None or only.place is None:
                return only
        return None
