"""The numbers the prior is made of: what the job states over what the region is used to.

Imports the job and practice only.
"""

from dataclasses import dataclass

from spreadload.derived.reach import lengths_of
from spreadload.job.job import Job
from spreadload.job.wiring import Wiring
from spreadload.practice.wiring import wiring_habits
from spreadload.units import FULL_PCT

UPPER_FLOOR = "upper floor"


@dataclass(frozen=True)
class Beliefs:
    """Every number of the prior as a share (0 to 1), metres or a count, job over habit."""

    stray: float
    stray_anywhere: float
    stray_reach_m: float
    back_to_back: float
    back_to_back_m: float
    halving_m: float
    run_spread: float
    floor_m: float
    unplaced_m: float
    label_wrong: float
    unseen: float
    by_run: float
    odd: float
    guess: float
    own_circuit_m: dict[str, float]
    outlets_per_circuit: float
    size_factor: float

    @classmethod
    def of(cls, job: Job) -> "Beliefs":
        """Return the beliefs of a job."""
        said, habit = job.wiring, wiring_habits(job.region)
        usual_m = {use: row.value for use, row in habit.own_circuit_m.items()}
        return cls(
            stray=_pick(said.stray_pct, habit.stray_pct.value) / FULL_PCT,
            stray_anywhere=habit.stray_anywhere_pct.value / FULL_PCT,
            stray_reach_m=habit.stray_reach_m.value,
            back_to_back=_pick(said.back_to_back_pct, habit.back_to_back_pct.value) / FULL_PCT,
            back_to_back_m=_pick(said.back_to_back_m, habit.back_to_back_m.value),
            halving_m=habit.halving_m.value,
            run_spread=habit.run_spread_pct.value / FULL_PCT,
            floor_m=_pick(said.floor_m, habit.floor_m.value),
            unplaced_m=habit.outlet_room_m.value,
            label_wrong=_pick(said.label_wrong_pct, habit.label_wrong_pct.value) / FULL_PCT,
            unseen=_unless_zoned(said, said.unseen_pct, habit.unseen_pct.value) / FULL_PCT,
            by_run=_unless_zoned(said, said.by_run_pct, habit.by_run_pct.value) / FULL_PCT,
            odd=_unless_zoned(said, said.odd_pct, habit.odd_pct.value) / FULL_PCT,
            guess=_pick(said.guess_pct, habit.guess_pct.value) / FULL_PCT,
            own_circuit_m=usual_m | said.own_circuit_m,
            outlets_per_circuit=_pick(said.outlets_per_circuit, habit.outlets_per_circuit.value),
            size_factor=habit.size_factor.value,
        )

    def in_words(self, job: Job) -> tuple[str, ...]:
        """Return the assumptions in plain sentences, each saying whose it is."""
        said = job.wiring
        spread = f"each run uncertain by {self.run_spread * FULL_PCT:g} % (common practice)"
        floor_length = lengths_of(job).plain(self.floor_m)
        floor = f"a floor between counting as {floor_length} ({_whose(said.floor_m)})"
        words = [
            (
                f"{self.stray * FULL_PCT:g} in 100 outlets are not on their room's circuit "
                f"({_whose(said.stray_pct)})"
            ),
            f"rooms are joined to circuits shortest cable run first, {spread}, {floor}",
            (
                f"{self.by_run * FULL_PCT:g} in 100 houses are wired along the walls, not room by "
                f"room, {self.odd * FULL_PCT:g} without any pattern ({_pattern(said)})"
            ),
            (
                f"about {self.outlets_per_circuit:g} outlets on a circuit "
                f"({_whose(said.outlets_per_circuit)})"
            ),
        ]
        if said.zones:
            words.append(f"rooms that share a circuit: {', '.join(said.zones)} (stated in the job)")
        if said.outlets:
            words.append(f"own odds for {', '.join(said.outlets)} (stated in the job)")
        if job.same_circuit or job.different_circuit:
            words.append("statements of same and different circuit hold on every map")
        return tuple(words)


def _pick(stated: float | None, usual: float) -> float:
    return usual if stated is None else stated


def _unless_zoned(said: Wiring, stated: float | None, usual: float) -> float:
    """Return a doubt about the pattern itself; who states zones has settled it."""
    return _pick(stated, 0.0 if said.zones else usual)


def _whose(stated: float | None) -> str:
    return "common practice" if stated is None else "stated in the job"


def _pattern(said: Wiring) -> str:
    is_stated = said.zones or said.by_run_pct is not None or said.odd_pct is not None
    return "follows from what the job states" if is_stated else "common practice"
