"""What stops the shipped houses, and the offers that were worked out for them by hand.

Bungalow: 40.8 A asked of 40.0 A; a corrected ballast makes 94 %, an LED head in place of the third
discharge head 87 to 88 %, with the chargers on a battery as well 80 to 81 %. Ranch house: corrected
ballast, else a kitchen circuit, else an LED swap. Hall: under 90 % the urns must be off.
"""

from pathlib import Path

import pytest

from builders import plan_of, put
from spreadload.changes import ChangeKind, without_load
from spreadload.changes.edits import forbid
from spreadload.check import Judge, judge
from spreadload.derived.facts import Facts
from spreadload.io.job_file import load_job
from spreadload.job.job import Job
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.what_if.offers import Offer, Offers, find_offers
from spreadload.solver.why_not.impossible import conflicts_of

TOP = Path(__file__).parents[3]
CONFIG = SolverConfig(time_limit_s=60)
pytestmark = pytest.mark.slow


def scenario(name: str) -> Job:
    """Return a shipped house."""
    return load_job(TOP / "scenarios" / name)


def kinds(offer: Offer) -> set[ChangeKind]:
    """Return the kinds of change of an offer, leads to hire aside."""
    return {change.kind for change in offer.changes} - {ChangeKind.LEADS}


def pct(offer: Offer) -> int:
    """Return the fullest device of the set-ups that were in trouble."""
    assert offer.fullest is not None
    return offer.fullest.used_pct


@pytest.fixture(scope="module")
def bungalow() -> Offers:
    """Return the offers for the bungalow."""
    return find_offers(scenario("bungalow"), CONFIG)


def test_bungalow_says_which_sum_is_over() -> None:
    """The sum in amps, with every wish that is part of it and both breakers."""
    (conflict,) = conflicts_of(Facts.of(scenario("bungalow")), CONFIG, 30)
    assert (conflict.kind, conflict.setup) == ("arithmetic", "SU2")
    assert conflict.headline == "SU2 needs 40.8 A; P1 and P2 together give 40.0 A"
    paths = {member.path for member in conflict.members}
    assert {("circuits", "P1", "breaker_a"), ("circuits", "P2", "breaker_a")} <= paths
    assert ("setups", 1, "heads", "DH1800") in paths


def test_bungalow_offers_are_ranked(bungalow: Offers) -> None:
    """Ballast, battery, LED head, then LED head and battery for comfort."""
    assert bungalow.in_trouble == ("SU2",)
    found = [(kinds(offer), pct(offer)) for offer in bungalow.offers]
    assert found[0] == ({ChangeKind.BALLAST}, 94)
    assert found[1][0] == {ChangeKind.BATTERY}
    assert found[2] == ({ChangeKind.SWAP}, 88)
    assert found[3] == ({ChangeKind.SWAP, ChangeKind.BATTERY}, 81)
    prices = [offer.cost.price for offer in bungalow.offers]
    assert prices == sorted(prices)


def test_every_offer_is_a_judged_plan_of_the_whole_day(bungalow: Offers) -> None:
    """The judge passes each on the job it makes."""
    assert bungalow.offers
    for offer in bungalow.offers:
        assert judge(offer.job, offer.plan).holds
        assert {p.setup for p in offer.plan.placements} == {"SU1", "SU2", "SU3", "SU4"}
        assert offer.is_proven


def test_the_job_s_own_prices_change_the_order() -> None:
    """Where batteries cost next to nothing they come before the ballast."""
    job = scenario("bungalow")
    costs = job.costs.model_copy(update={"battery": 1.0, "battery_min": 0.0})
    first = find_offers(job.model_copy(update={"costs": costs}), CONFIG, wanted=1).offers[0]
    assert kinds(first) == {ChangeKind.BATTERY}


def test_ranch_house_offers() -> None:
    """Corrected ballast first, kitchen circuit second, LED swap third."""
    found = find_offers(scenario("ranch_house"), CONFIG)
    first, second, third = found.offers[:3]
    assert (kinds(first), pct(first)) == ({ChangeKind.BALLAST}, 96)
    assert (kinds(second), pct(second)) == ({ChangeKind.LAST_RESORT}, 96)
    assert kinds(third) == {ChangeKind.SWAP}
    assert "LED600 spare" in third.changes[0].words


def test_ranch_house_with_the_kitchen_off_limits() -> None:
    """One head is what cannot be placed, and the kitchen is among the reasons."""
    job = forbid(scenario("ranch_house"), circuits=("5", "6"))
    (conflict,) = conflicts_of(Facts.of(job), CONFIG, 30)
    paths = {member.path for member in conflict.members}
    assert ("setups", 1, "heads", "DH800") in paths
    assert ("circuits", "6", "use") in paths
    assert kinds(find_offers(job, CONFIG, wanted=1).offers[0]) == {ChangeKind.BALLAST}


def test_hall_under_ninety_per_cent_needs_the_urns_off() -> None:
    """The cheapest way is what was agreed: the urns off."""
    first = find_offers(scenario("community_hall"), CONFIG, margin_pct=90, wanted=1).offers[0]
    assert kinds(first) == {ChangeKind.AGREED_OFF}
    assert all("urn" in change.words for change in first.changes)
    assert pct(first) <= 90


def test_take_turns_really_can() -> None:
    """Where two heat-makers take turns, each can run while the other is off."""
    found = find_offers(scenario("bungalow"), CONFIG, margin_pct=90)
    turns = [c for o in found.offers for c in o.changes if c.kind is ChangeKind.TURNS]
    for offer in found.offers:
        for change in offer.changes:
            if change.kind is ChangeKind.TURNS:
                for load in ("kettle", "dryer"):
                    variant = without_load(offer.job, change.setup, load)
                    assert not conflicts_of(Facts.of(variant), CONFIG, 5)
    assert found.offers
    assert turns


def test_ranch_house_without_the_kitchen_is_over_with_the_uncorrected_ballast() -> None:
    """104 %: the laundry takes one of two large heads, the other is alone on a breaker of 15 A.

    By hand 104 % is the best of all splits; what is added up here is the one head that makes it so.
    Ours refuses the set-up at any breaker: a 15 A receptacle is good for 12 A of a single plug.
    """
    job = forbid(scenario("ranch_house"), circuits=("5", "6"))
    facts = Facts.of(job).only(["SU2"])
    alone = put("LED1200", "D5", name="SU2", place="key corner")
    seen = Judge(facts).judge(plan_of(alone))
    assert {u.id: u.used_pct for u in seen.usages if u.kind == "circuit"}["4"] == 104
    assert conflicts_of(facts, CONFIG, 30)


def test_ranch_house_without_the_kitchen_runs_on_the_corrected_ballast() -> None:
    """96 %, and every plan of the day leaves both kitchen circuits to the coffee and the fridge."""
    job = forbid(scenario("ranch_house"), circuits=("5", "6"))
    first = find_offers(job, CONFIG, wanted=1).offers[0]
    assert (kinds(first), pct(first)) == ({ChangeKind.BALLAST}, 96)
    kitchen = {p.load for p in first.plan.placements if p.point in {"D8", "D9", "D10", "D11"}}
    assert kitchen <= {"coffee", "fridge"}


def test_bungalow_figures_round_demand_up() -> None:
    """By hand 94, 87 and 80 %: ours says 88 and 81 where the sum is a little over the whole number.

    17.4 A of 20 A are 87 %; ours finds 17.406 A on the fuller circuit, and demand is rounded up.
    """
    found = find_offers(scenario("bungalow"), CONFIG)
    by_hand = {(ChangeKind.BALLAST,): 94, (ChangeKind.SWAP,): 87}
    seen = {tuple(kinds(offer)): pct(offer) for offer in found.offers if len(kinds(offer)) == 1}
    for kind, figure_pct in by_hand.items():
        assert 0 <= seen[kind] - figure_pct <= 1
