"""What harmonics put on a neutral is told where it is more than a phase carries."""

import pytest

from builders import Entry, amps, circuit, job_of, outlet, plan_of, put, setup, small_data
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.explain.answer import check_answer
from spreadload.plan import Verdict

PLAN = plan_of(*(put("lamp", f"O{n}", unit=n, place="lounge") for n in (1, 2, 3)))


def judged(**lamp: object) -> tuple[Facts, Verdict]:
    """Return the verdict on three lamps of 8 A, one on each phase."""
    names = ("L1", "L2", "L3")
    data: Entry = small_data(
        supply={"system": "three-phase", "limit_a": 20.0, "planning_v": 230.0},
        circuits={f"P{n}": circuit(10.0, phase=name) for n, name in enumerate(names, 1)},
        outlets={f"O{n}": outlet(f"P{n}", "lounge") for n in (1, 2, 3)},
        heads={"lamp": amps(8.0, count=3, **lamp)},
        setups=[setup(lamp={"lounge": 3})],
    )
    facts = Facts.of(job_of(data))
    return facts, Judge(facts).judge(PLAN)


def test_even_phases_of_cheap_drivers_load_the_neutral() -> None:
    """1.73 times the phase current in the limit (technical note on third harmonics)."""
    facts, verdict = judged(kind="electronics", power_factor=0.6)
    (neutral,) = verdict.neutral
    assert neutral.current_a == pytest.approx(3 * 8.0 * 0.577, abs=2e-3)
    assert neutral.used_pct > max(
        usage.used_pct for usage in verdict.usages if usage.kind != "circuit"
    )
    assert verdict.holds
    assert "P1" in check_answer(facts, PLAN, verdict).text


@pytest.mark.parametrize(("kind", "power_factor"), [("led", 0.95), ("tungsten", None)])
def test_corrected_drivers_and_tungsten_do_not(kind: str, power_factor: float | None) -> None:
    """Even phases leave the neutral with less than a phase, so it is no line of its own."""
    more = {} if power_factor is None else {"power_factor": power_factor}
    assert judged(kind=kind, **more)[1].neutral == ()
