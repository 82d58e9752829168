"""What there is to say about tracing, before it is set as text or data. Loads no solver."""

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spreadload.derived.facts import Facts
from spreadload.wiring.settling import Dispute

if TYPE_CHECKING:
    from spreadload.solver.tracing.worth import Tracing


class TraceSays(StrEnum):
    """The kinds of answer."""

    TEST = "test"
    NO_TEST = "no test needed"
    PLAN_AGAIN = "plan again first"
    SETTLE = "settle first"
    NO_PLAN = "no plan"


@dataclass(frozen=True)
class TraceAnswer:
    """Everything about tracing.

    Attributes:
        facts: The job, worked out.
        says: What kind of answer it is.
        tracing: What was worked out; None where there is nothing to trace or no plan to weigh on.
        why_not: Why there is nothing, or "".
        disputes: What the log contradicts itself in.
        known_lamps: Outlets asked for that need no lamp.
        with_session: Whether to show a whole session in any case.
    """

    facts: Facts
    says: TraceSays
    tracing: "Tracing | None" = None
    why_not: str = ""
    disputes: tuple[Dispute, ...] = ()
    known_lamps: tuple[str, ...] = ()
    with_session: bool = False
