"""What the crew says after something went dark. Never imports the solver."""

from dataclasses import dataclass

from spreadload.on_the_day.trip.causes import Seen


@dataclass(frozen=True)
class Report:
    """What the crew says.

    Attributes:
        seen: What is dark and what is lit.
        device: What was seen open: a circuit, RCD, sub-board or phase of the job, or a word of
            ``causes.SAID``; None when nobody looked.
        just: What was just switched on, in their words; "" when nothing.
        after_s: How long it had held since [s], or None.
        when: Time of the trip, for the log.
    """

    seen: Seen
    device: str | None = None
    just: str = ""
    after_s: float | None = None
    when: str = ""
