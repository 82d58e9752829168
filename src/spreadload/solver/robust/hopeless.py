"""Why a list runs on no wiring a house may have: told of the likeliest, where anybody can check it.

Each wiring may fail for a reason of its own. One of them told in full says more than that all do.
"""

from collections.abc import Callable

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Impossible, Outcome, Plan, Verdict
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.robust.what_fits import with_what_fits
from spreadload.solver.search.ranked_plans import find_plans
from spreadload.wiring.likeliest import as_wired
from spreadload.wiring.maps import Maps
from spreadload.wiring.model import WiringModel

_ON_ALL = "every plan passes some limit on every way this house could be wired"


def no_wiring_will_do(
    model: WiringModel,
    maps: Maps,
    config: SolverConfig,
    nearest: tuple[Plan, Verdict],
    search: Callable[[WiringModel, SolverConfig], Outcome],
) -> Impossible:
    """Return the proof that no plan holds on any wiring, with what clashes on the likeliest.

    Args:
        model: The wirings the house may have.
        maps: Those that every plan fails on.
        config: Limits and seed.
        nearest: The plan that fails least on what is sure.
        search: Looks for plans of a job whose wiring is open.
    """
    likely = Facts.of(as_wired(model.job, maps.typical()))
    found = find_plans(likely, Judge(likely), config)
    if not isinstance(found, Impossible):
        return Impossible(reason=_ON_ALL, nearest=nearest)
    told = with_what_fits(found, model, config, search)
    known = told if isinstance(told, Impossible) and told is not found else None
    return Impossible(
        reason=f"wired as is likeliest, {found.reason}; {_ON_ALL}",
        conflicts=found.conflicts,
        nearest=nearest,
        reduced=known.reduced if known else None,
        chance=known.chance if known else None,
        in_the_dark=found.in_the_dark,
    )
