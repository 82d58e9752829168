"""The use cases about volts and about switching on: what sags, and in which order to switch.

Reached through ``app``. The solver is imported only where no plan is given.
"""

from dataclasses import dataclass
from typing import Any

from spreadload.app.names import refuse, unknown_setup
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode, Fault, InputError, NoPlanError
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.on_the_day.scene.scene import wirings
from spreadload.on_the_day.volts.sag import Sag
from spreadload.on_the_day.volts.sag import sag as work_out_sag
from spreadload.on_the_day.volts.turnaround import Turn, turns
from spreadload.plan import Impossible, Plan, Solved, Undecided
from spreadload.report.headed import headed
from spreadload.report.sag_data import sag_data
from spreadload.report.sag_text import sag_text
from spreadload.report.style import Style
from spreadload.report.turn_text import turn_data, turn_text
from spreadload.solver.engine.limits import SolverConfig
from spreadload.wiring.likeliest import as_wired

# No board is colder or warmer than that while people work beside it; our own choice.
_COLDEST_C, _WARMEST_C = -40.0, 80.0


@dataclass(frozen=True)
class SagTold:
    """What the volts do under a plan.

    Attributes:
        looked_at: Which plan this is, in a few words, or "" for the one given.
        taken: Circuits taken as the likeliest for outlets of which nobody knows them.
    """

    sag: Sag
    looked_at: str
    taken: dict[str, str]

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: 1 where a head gets too little on a supply that was read."""
        refuses = self.sag.house.service.may_refuse
        return ExitCode.HOLDS if self.sag.holds or not refuses else ExitCode.BREAKS_A_LIMIT

    def text(self, style: Style | None = None, *, setup: str | None = None) -> str:
        """Return the answer as text for a terminal."""
        style = style or Style()
        text = sag_text(self.sag, style, setup=setup, taken=self.taken)
        return f"{text}\n\n{style.wrap(self.looked_at)}" if self.looked_at else text

    def data(self) -> dict[str, Any]:
        """Return the answer as data."""
        about = {"plan": self.looked_at or "the plan given", "circuits_taken": self.taken}
        return headed("sag", about | sag_data(self.sag, self.taken))


def sag(
    job: Job,
    plan: Plan | None = None,
    *,
    min_v: float | None = None,
    board_c: float | None = None,
    setup: str | None = None,
    config: SolverConfig | None = None,
    log: Log | None = None,
) -> SagTold:
    """Say what the volts do in every set-up.

    Args:
        job: The job.
        plan: The plan to look at; the best one is found when None, or the one with the least
            overload where none holds.
        min_v: Voltage the board should not fall below [V].
        board_c: Air in the board [°C], which breakers open sooner in.
        setup: Refused when it is not a set-up of the job.
        config: Time limit and seed, where a plan has to be found.
        log: What was seen of the wiring, without what clashes.

    Raises:
        InputError: No such set-up, ``min_v`` is no voltage of this supply, or ``board_c`` no
            temperature of a board.
        NoPlanError: No plan is given and none can be found.
    """
    refuse(unknown_setup(job, setup))
    _require_volts(Facts.of(job), min_v)
    _require_warmth(board_c)
    found, looked_at = _to_look_at(job, plan, config, log)
    facts, taken = _likeliest(job, log, found)
    told = work_out_sag(Judge(facts, always_volts=True), found, min_v=min_v, board_c=board_c)
    return SagTold(told, looked_at, taken)


@dataclass(frozen=True)
class TurnTold:
    """In which order to switch.

    Attributes:
        looked_at: Which plan this is, in a few words, or "" for the one given.
        taken: Circuits taken as the likeliest for outlets of which nobody knows them.
    """

    turns: tuple[Turn, ...]
    looked_at: str
    taken: dict[str, str]

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: 1 where some step may open a breaker in any order."""
        is_safe = all(turn.is_safe for turn in self.turns)
        return ExitCode.HOLDS if is_safe else ExitCode.BREAKS_A_LIMIT

    def text(self, style: Style | None = None, *, setup: str | None = None) -> str:
        """Return the answer as text for a terminal."""
        style = style or Style()
        text = turn_text(self.turns, style, setup=setup, taken=self.taken)
        return f"{text}\n\n{style.wrap(self.looked_at)}" if self.looked_at else text

    def data(self) -> dict[str, Any]:
        """Return the answer as data."""
        about = {"plan": self.looked_at or "the plan given", "circuits_taken": self.taken}
        return headed("turn", about | turn_data(self.turns))


def turn(
    job: Job,
    plan: Plan | None = None,
    *,
    setup: str | None = None,
    config: SolverConfig | None = None,
    log: Log | None = None,
) -> TurnTold:
    """Give the order of switching on, and of killing, moving and striking between set-ups.

    Args:
        job: The job.
        plan: The plan to switch; found when None, as for ``sag``.
        setup: Refused when it is not a set-up of the job.
        config: Time limit and seed, where a plan has to be found.
        log: What was seen of the wiring, without what clashes.

    Raises:
        InputError: No such set-up.
        NoPlanError: No plan is given and none can be found.
    """
    refuse(unknown_setup(job, setup))
    found, looked_at = _to_look_at(job, plan, config, log, is_rigged=True)
    facts, taken = _likeliest(job, log, found)
    return TurnTold(turns(Judge(facts), found), looked_at, taken)


def _likeliest(job: Job, log: Log | None, plan: Plan) -> tuple[Facts, dict[str, str]]:
    """Return the house as it is most likely wired, and what that takes for granted of a plan.

    What is taken is a circuit for each outlet in use of which nobody knows it.
    """
    learnt, maps = wirings(job, log or Log())
    wiring = maps.typical()
    used = {placement.point.partition("/")[0] for placement in plan.placements}
    open_in_use = [o for o, stated in learnt.outlets.items() if o in used and not stated.circuit]
    return Facts.of(as_wired(learnt, wiring)), {outlet: wiring[outlet] for outlet in open_in_use}


def _to_look_at(
    job: Job,
    plan: Plan | None,
    config: SolverConfig | None,
    log: Log | None,
    *,
    is_rigged: bool = False,
) -> tuple[Plan, str]:
    """Return the plan given, or one that is found, and which one it is.

    Where no plan holds, volts are looked at with everything asked for, to show what happens then;
    what is rigged is what `plan` shows, heads left dark and all.

    Raises:
        NoPlanError: There is none.
    """
    if plan is not None:
        return plan, ""
    from spreadload.solver.any_wiring import look_for_plans  # noqa: PLC0415 - loads OR-Tools

    _, outcome = look_for_plans(job, config or SolverConfig(alternatives=0), log)
    match outcome:
        case Solved():
            return outcome.plans[0][0], "This is the best plan found."
        case Impossible(reduced=(found, _), reason=reason) if is_rigged:
            return found, f"No plan holds ({reason}). This is the fullest one that does."
        case Impossible(nearest=(found, _), reason=reason):
            said = f"No plan holds ({reason}). This is everything asked, spread as it is best."
            return found, said
        case Impossible(reduced=(found, _), reason=reason):
            return found, f"No plan holds ({reason}). This is the fullest one that does."
        case Undecided(reduced=(found, _), reason=reason):
            return found, f"Not decided ({reason}). This is the fullest plan found that holds."
        case Impossible(reason=reason):
            raise NoPlanError(f"CANNOT RUN AS ASKED: {reason}", ExitCode.BREAKS_A_LIMIT)
        case Undecided(reason=reason):
            raise NoPlanError(f"NOT DECIDED: {reason}", ExitCode.UNDECIDED)


def _require_warmth(board_c: float | None) -> None:
    if board_c is not None and not _COLDEST_C <= board_c <= _WARMEST_C:
        allowed = f"{_COLDEST_C:g} to {_WARMEST_C:g} °C"
        raise InputError(
            [Fault("", 0, "--board-c", "not the air of a board", f"{board_c:g}", allowed)]
        )


def _require_volts(facts: Facts, min_v: float | None) -> None:
    planning_v = facts.supply.planning_v
    if min_v is not None and not 0 < min_v < 2 * planning_v:
        allowed = f"volts between line and neutral, below {2 * planning_v:g}"
        raise InputError([Fault("", 0, "--min-v", "not a voltage here", f"{min_v:g}", allowed)])
