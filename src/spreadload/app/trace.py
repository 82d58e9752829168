"""The use case of tracing before the day: which test of the wiring is worth making.

Nothing here prints. The solver is imported only when it is asked.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from spreadload.app.loaded import Day
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode, InputError
from spreadload.io.note_text import names_of, split_words
from spreadload.plan import Plan
from spreadload.report.style import Style
from spreadload.report.trace_answer import TraceAnswer, TraceSays
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import SolverConfig
from spreadload.wiring.evidence import is_wiring_open
from spreadload.wiring.model import WiringModel

if TYPE_CHECKING:
    from spreadload.solver.tracing.worth import Tracing

_ALL_KNOWN = "No test needed: the circuit of every outlet is known."
_NO_PLAN = (
    "No plan keeps every rule here, whatever the wiring, so no test can be weighed: see plan."
)
_NOT_FOUND = "No plan was found in the time, so no test can be weighed: give it longer."


@dataclass(frozen=True)
class TraceTold:
    """Which test is worth making.

    Attributes:
        answer: Everything there is to say.
        exit_code: What the shell should see: 1 where no plan holds on any wiring, 3 where none
            was found in the time.
    """

    answer: TraceAnswer
    exit_code: ExitCode = ExitCode.HOLDS

    def text(self, style: Style | None = None) -> str:
        """Return the answer as text for a terminal."""
        from spreadload.report.trace_text import trace_text  # noqa: PLC0415 - loads OR-Tools

        return trace_text(self.answer, style or Style())

    def data(self) -> dict[str, Any]:
        """Return the answer as data; README.md tells the shape."""
        from spreadload.report.trace_text import trace_data  # noqa: PLC0415 - loads OR-Tools

        return trace_data(self.answer)


@dataclass(frozen=True)
class TraceSaid:
    """What was asked about tracing.

    Attributes:
        people: 1 or 2.
        minutes: At most so long [min], or None.
        lamps: Outlets to put lamps in; chosen when empty.
        plan: The plan in hand, or None.
        with_session: Whether to show a whole session in any case.
    """

    people: int = 2
    minutes: float | None = None
    lamps: tuple[str, ...] = ()
    plan: Plan | None = None
    with_session: bool = False


def trace(day: Day, said: TraceSaid, config: SolverConfig | None = None) -> TraceTold:
    """Say which test before the day is worth making, by what it does for the plan.

    Args:
        day: The job and its log.
        said: People, minutes, lamps, plan in hand.
        config: Time limit and seed.

    Raises:
        InputError: A lamp in no outlet of the job.
    """
    lamps, faults = names_of(split_words(said.lamps), day.stated.outlets, "outlet", "--lamps")
    if faults:
        raise InputError(faults)
    facts = Facts.of(day.job, "maps")
    disputes = tuple(d for d in day.disputes if d.set_aside)
    if not is_wiring_open(day.job):
        says = TraceSays.SETTLE if disputes else TraceSays.NO_TEST
        return TraceTold(TraceAnswer(facts, says, None, _ALL_KNOWN, disputes))
    from spreadload.solver.tracing.tracer import trace as weigh  # noqa: PLC0415
    from spreadload.solver.tracing.worth import Wanted  # noqa: PLC0415

    model = WiringModel.of(day.job, day.log)
    wanted = Wanted(said.people, said.minutes, lamps, said.plan)
    found = weigh(model, wanted, config or SolverConfig())
    if isinstance(found, Found):
        is_proved = found is Found.NONE_EXISTS
        why_not = _NO_PLAN if is_proved else _NOT_FOUND
        code = ExitCode.BREAKS_A_LIMIT if is_proved else ExitCode.UNDECIDED
        return TraceTold(TraceAnswer(facts, TraceSays.NO_PLAN, None, why_not, disputes), code)
    says = TraceSays.SETTLE if disputes else _says(found)
    known = tuple(o for o in lamps if model.job.outlets[o].circuit is not None)
    code = ExitCode.BREAKS_A_LIMIT if says is TraceSays.NO_PLAN else ExitCode.HOLDS
    answer = TraceAnswer(facts, says, found, "", disputes, known, with_session=said.with_session)
    return TraceTold(answer, code)


def _says(found: "Tracing") -> TraceSays:
    from spreadload.solver.tracing.worth import WORTH  # noqa: PLC0415 - loads OR-Tools

    if found.is_hopeless:
        return TraceSays.NO_PLAN
    if found.planned is not None and found.planned - found.now > WORTH.value:
        return TraceSays.PLAN_AGAIN
    return TraceSays.TEST if found.best is not None else TraceSays.NO_TEST
