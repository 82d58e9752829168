"""Leads of a plan that are longer than their region advises for their size."""

from collections.abc import Iterator

from spreadload.derived.facts import Facts
from spreadload.electrical.cords import LeadRegion, longest_lead
from spreadload.plan import Plan
from spreadload.units import MILLI

_REGIONS = {
    "AU": LeadRegion.AU_NZ,
    "NZ": LeadRegion.AU_NZ,
    "UK": LeadRegion.UK,
    "US": LeadRegion.US,
    "CA": LeadRegion.US,
}
_REACH_NOISE_M = 1e-6


def lead_lengths(facts: Facts, plan: Plan) -> Iterator[str]:
    """Yield a line for every kind of lead in use that is longer than its region advises."""
    region = _REGIONS.get(facts.job.region)
    used = {index for p in plan.placements for index in (p.lead, p.board_lead) if index is not None}
    for lead in facts.leads:
        if region is None or lead.index not in used:
            continue
        row = longest_lead(region, lead.rating_ma / MILLI, lead.size)
        if row is not None and lead.length_m > row.length_m + _REACH_NOISE_M:
            yield (
                f"{lead.name} lead: up to {row.length_m:g} m is advised for {row.size} at "
                f"{row.rated_a:g} A ({row.source})"
            )
