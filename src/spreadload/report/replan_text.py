"""What to change for the rest of the day, as text: how many plugs, which, and what that leaves."""

from collections import defaultdict
from dataclasses import dataclass
from enum import StrEnum

from spreadload.check.words import in_100
from spreadload.derived.facts import Facts
from spreadload.explain.answer import fullest, tightest_words
from spreadload.explain.names import circuit_name, point_name, units_name
from spreadload.explain.sentences import run_words
from spreadload.on_the_day.replug.changes import Replug
from spreadload.plan import Plan, Verdict
from spreadload.report.headed import Data, headed
from spreadload.report.style import Style
from spreadload.units import FULL_PCT
from spreadload.words import count_of, first_up, row, setup_name, setup_names

_TOLD = 0.01


class ReplanSays(StrEnum):
    """The kinds of answer."""

    KEEP = "keep"
    REPLUG = "re-plug"
    CANNOT = "cannot"
    NOT_DECIDED = "not decided"


@dataclass(frozen=True)
class Safer:
    """A plan that trips less often and changes more: its plugs in all, and how often it trips."""

    plugs: int
    fails: float


@dataclass(frozen=True)
class Replanned:
    """What is to be changed.

    Attributes:
        facts: What the plan was judged on.
        plan: The set-ups still to come.
        setups: Their ids.
        replugs: What changes.
        fails: Chance that it passes a limit in one of them, over the wirings possible; 0 where it
            holds on every one.
        was_fails: The same for what is rigged, as things stand now.
        is_sure: Whether the plan is known to hold on every wiring.
        is_likely: Whether it is judged on the likeliest wiring, not only on what is sure.
        is_proven: Whether fewer changes are proved impossible.
        dark: What has to stay where its circuit is off, by circuit.
        idle: Loads that no outlet left can take, with the set-up.
        look_at: Outlets with a head that may be dead, now that a circuit is off.
        safer: What the safest plan would change, where that is worth it.
        warm: Circuits that have tripped and would carry more than a warm breaker should, with what
            flows in per cent of the rating and the set-up where that is most.
    """

    facts: Facts
    plan: Plan
    verdict: Verdict
    setups: tuple[str, ...]
    replugs: tuple[Replug, ...]
    fails: float
    was_fails: float
    is_sure: bool
    is_likely: bool
    is_proven: bool
    dark: dict[str, tuple[str, ...]]
    idle: tuple[tuple[str, str], ...] = ()
    look_at: tuple[str, ...] = ()
    safer: Safer | None = None
    warm: tuple[tuple[str, int, str], ...] = ()

    @property
    def plugs(self) -> int:
        """How many plugs go from one outlet to another, counted once per set-up."""
        return sum(r.plugs for r in self.replugs if r.is_move)

    @property
    def says(self) -> ReplanSays:
        """What kind of answer it is."""
        if self.plan.left_out or self.idle:
            return ReplanSays.CANNOT
        return ReplanSays.REPLUG if self.plugs else ReplanSays.KEEP


def replan_text(found: Replanned, style: Style) -> str:
    """Return what to change for the rest of the day."""
    lines = [style.strong(style.wrap(headline(found)))]
    lines += style.entries(_second_lines(found))
    for title, words in _sections(found):
        lines += style.section(title, style.entries(words))
    return "\n".join(lines)


def _nowhere(facts: Facts, load: str) -> str:
    """Return why nothing takes a load, with the room it is bound to: a lead may reach another."""
    stated = facts.load_stated(load)
    bound = f" in {stated.room}" if stated is not None and stated.room is not None else ""
    return f"no outlet left{bound} takes it"


def _second_lines(found: Replanned) -> list[str]:
    said = [_leaves(found)]
    if found.safer is not None:
        better = in_100(found.safer.fails * FULL_PCT)
        said.append(
            f"{count_of(found.safer.plugs, 'plug')} in all would bring that to {better}: --safe."
        )
    if found.look_at:
        alone = len(found.look_at) == 1
        asked = "whether {} is dead now" if alone else "which of {} are dead now"
        said.append(f"Look first {asked.format(row(found.look_at, 'or'))}; note it and ask again.")
    aim_pct, _ = found.facts.job.rules.warm_tiers_pct
    said += [
        f"{first_up(circuit_name(found.facts, circuit))} has tripped before and carries {pct} % "
        f"of its rating in {setup_name(setup)}: better under {aim_pct:g}, or something off."
        for circuit, pct, setup in found.warm
    ]
    by_load: dict[str, list[str]] = defaultdict(list)
    for setup, load in found.idle:
        by_load[load].append(setup)
    for load, setups in by_load.items():
        said.append(f"{load} cannot run in {setup_names(setups)}: {_nowhere(found.facts, load)}.")
    for circuit, names in found.dark.items():
        stay = "stay" if len(names) > 1 else "stays"
        said.append(f"{row(names)} {stay} dark: {circuit_name(found.facts, circuit)} is off.")
    return said


def headline(found: Replanned) -> str:
    """Return the answer in one line."""
    since = f"from {setup_name(found.setups[0])} on"
    moved = (
        f"{count_of(found.plugs, 'plug')} to move {since}"
        if found.plugs
        else f"nothing to move {since}"
    )
    if found.plugs:
        moved += "; no plan moves fewer" if found.is_proven else "; fewer not ruled out"
    if found.says is ReplanSays.CANNOT:
        lost = [count_of(len(found.plan.left_out), "head")] if found.plan.left_out else []
        lost += [row(dict.fromkeys(load for _, load in found.idle))] if found.idle else []
        return f"CANNOT RUN AS ASKED {since}, but without {row(lost)}: {moved}."
    return f"{first_up(moved)}."


def _leaves(found: Replanned) -> str:
    # What stays wired to a circuit that is off takes nothing from it.
    on = (u for u in found.verdict.usages if u.kind != "circuit" or u.id not in found.dark)
    verdict = found.verdict.model_copy(update={"usages": tuple(on)})
    tightest = first_up(tightest_words(found.facts, fullest(verdict)))
    if found.is_sure:
        is_open = any(o.circuit is None for o in found.facts.job.outlets.values())
        return f"{tightest}; holds whatever the wiring." if is_open else f"{tightest}."
    was = f", as rigged on {in_100(found.was_fails * FULL_PCT)}"
    better = was if found.was_fails > found.fails + _TOLD else ""
    one = "another head" if found.plan.left_out else "a head"
    fails = f"fails or leaves {one} dark" if found.look_at else "fails"
    judged = "on the likeliest wiring" if found.is_likely else "counting what is sure"
    return (
        f"{tightest}, {judged}; {fails} on {in_100(found.fails * FULL_PCT)} ways this "
        f"house could be wired{better}."
    )


def _sections(found: Replanned) -> list[tuple[str, list[str]]]:
    dark = {(entry.setup, entry.load) for entry in found.plan.left_out}
    moves = [r for r in found.replugs if r.is_move]
    new = [r for r in found.replugs if r.from_point is None]
    gone = [r for r in found.replugs if r.to_point is None]
    left = [r for r in gone if any((setup, r.load) in dark for setup in r.setups)]
    lost = [*left, *(r for r in gone if (r.setups[0], r.load) in found.idle)]
    return [
        ("Re-plug", [_words(found, r) for r in moves]),
        ("Same outlet, other lead", [_words(found, r) for r in found.replugs if r.is_rerun]),
        ("Plug in, new", [_words(found, r) for r in new]),
        ("Stays dark", [_words(found, r) for r in left]),
        ("Not asked for any more", [_words(found, r) for r in gone if r not in lost]),
    ]


def _words(found: Replanned, move: Replug) -> str:
    facts = found.facts
    # The job may have been edited since: what it no longer lists has a name and no more.
    name = units_name(facts, move.load, move.units) if move.load in facts.loads else move.load
    run = run_words(facts, move.run) or ("straight in" if move.is_rerun else "")
    on = f", {run}," if run else ""
    if move.is_rerun:
        return f"{name} at {_point(facts, move.to_point or '')}{on} in {setup_names(move.setups)}"
    was = f" from {_point(facts, move.from_point)}" if move.from_point else ""
    to = f" to {_point(facts, move.to_point)}{on}" if move.to_point else ""
    return f"{name}{was}{to} in {setup_names(move.setups)}"


def _point(facts: Facts, point: str) -> str:
    return point_name(facts.points[point]) if point in facts.points else point


def replan_data(found: Replanned) -> Data:
    """Return what to change as data; the shape is told in README.md."""
    data = {
        "answer": found.says.value,
        "text": headline(found),
        "setups": list(found.setups),
        "plugs": found.plugs,
        "proven": found.is_proven,
        "sure": found.is_sure,
        "fails_pct": round(found.fails * FULL_PCT, 2),
        "was_fails_pct": round(found.was_fails * FULL_PCT, 2),
        "safer": None
        if found.safer is None
        else {"plugs": found.safer.plugs, "fails_pct": round(found.safer.fails * FULL_PCT, 2)},
        "replugs": [
            {
                "load": r.load,
                "units": list(r.units),
                "from": r.from_point,
                "to": r.to_point,
                "setups": list(r.setups),
                "by": run_words(found.facts, r.run),
            }
            for r in found.replugs
        ],
        "left_out": [e.model_dump(mode="json") for e in found.plan.left_out],
        "idle": [{"setup": setup, "load": load} for setup, load in found.idle],
        "look_at": list(found.look_at),
        "warm": [{"circuit": c, "pct": pct, "setup": setup} for c, pct, setup in found.warm],
        "dark": {circuit: list(names) for circuit, names in found.dark.items()},
        "placements": [p.model_dump(mode="json") for p in found.plan.placements],
    }
    return headed("replan", data)


def cannot_data(why_not: str, *, is_proved: bool) -> Data:
    """Return as data that there is no plan, or none was found."""
    says = ReplanSays.CANNOT if is_proved else ReplanSays.NOT_DECIDED
    nothing: Data = {"answer": says.value, "text": why_not, "replugs": [], "placements": []}
    return headed("replan", nothing)
