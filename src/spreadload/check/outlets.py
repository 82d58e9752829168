"""The rules of what hangs at one outlet, looked at again only where an outlet has changed.

Who tries one move after another changes two outlets of a house and leaves the others.
"""

from spreadload.check.rules import HARD_RULES, OF_ONE_OUTLET
from spreadload.check.state import Plugged, SetupState
from spreadload.plan import Violation


class Outlets:
    """Remembers, set-up by set-up, what hung at an outlet that broke no rule of its own."""

    def __init__(self) -> None:
        """Start with nothing looked at."""
        self._sound: dict[tuple[str, str], tuple[Plugged, ...]] = {}

    def faults(self, state: SetupState) -> tuple[Violation, ...]:
        """Return every limit passed at an outlet of a set-up."""
        new = {
            (state.setup, outlet): units
            for outlet, units in state.by_outlet.items()
            if self._sound.get((state.setup, outlet)) != units
        }
        if not new:
            return ()
        changed = state.only(unit for units in new.values() for unit in units)
        rules = (rule for name, rule in HARD_RULES.items() if name in OF_ONE_OUTLET)
        faults = tuple(fault for rule in rules for fault in rule(changed))
        if not faults:
            self._sound |= new
        return faults
