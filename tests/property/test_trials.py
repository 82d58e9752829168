"""What a limit is under after a few plugs have moved, held to summing the whole plan anew."""

from itertools import islice

from hypothesis import given, settings
from hypothesis import strategies as st

from spreadload.errors import InputError
from spreadload.explain.moves import open_points
from spreadload.job.observations import Log
from spreadload.on_the_day.replug.trial import Trials, staying
from spreadload.on_the_day.scene.hazard import Hazard, Shift
from spreadload.on_the_day.scene.limit_of import (
    board_limit,
    circuit_limit,
    leakage_limit,
    phase_limit,
)
from spreadload.on_the_day.scene.limits import Limit
from spreadload.on_the_day.scene.scene import Scene
from strategies import jobs, sensible_plans

WAYS = 12


def limits(scene: Scene) -> list[Limit]:
    """Return what may open in a house."""
    facts = scene.facts
    boards = [p for p in scene.judged.by_setup[scene.setup] if p.board is not None]
    return [
        *(circuit_limit(scene, circuit) for circuit in facts.circuits),
        *(phase_limit(scene, phase) for phase in facts.supply.phases),
        *(leakage_limit(scene, rcd) for rcd in facts.rcds),
        *(board_limit(scene, held) for held in boards),
    ]


@settings(max_examples=60)
@given(data=st.data())
def test_what_moves_leave_on_a_limit_is_the_sum_of_the_plan_they_make(data: st.DataObject) -> None:
    """One plug or two, in this set-up or in several, on devices as on power boards."""
    job = data.draw(jobs())
    plan = data.draw(sensible_plans(job))
    try:
        scene = Scene.of(job, Log(), plan, data.draw(st.sampled_from(job.setups)).id)
    except InputError:
        return
    units = [p for p in scene.judged.by_setup[scene.setup] if open_points(scene.judged, p.load)]
    if not units:
        return
    shifts = []
    for unit in data.draw(st.lists(st.sampled_from(units), min_size=1, max_size=2, unique=True)):
        to = data.draw(st.sampled_from(open_points(scene.judged, unit.load)))
        setups = data.draw(st.sampled_from([staying(scene, unit), (unit.setup,)]))
        shifts.append(Shift(unit, to, setups))
    for limit in limits(scene):
        trials = Trials(scene, limit, Hazard(scene), most=0)
        for move in islice(trials.built(shifts), WAYS):
            assert move.after == limit.now(scene.with_plan(move.plan))
