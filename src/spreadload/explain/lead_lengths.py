"""Leads of a plan that are longer than their region advises for their size."""

from collections.abc import Iterator

from spreadload import practice
from spreadload.derived.facts import Facts
from spreadload.derived.reach import REACH_NOISE_M
from spreadload.plan import Plan
from spreadload.units import MILLI, metres


def lead_lengths(facts: Facts, plan: Plan) -> Iterator[str]:
    """Yield a line for every kind of lead in use that is longer than its region advises."""
    advised = practice.lead_lengths(facts.job.region)
    used = {index for p in plan.placements for index in (p.lead, p.board_lead) if index is not None}
    for lead in facts.leads:
        if advised is None or lead.index not in used:
            continue
        row = advised.longest(lead.rating_ma / MILLI, lead.size)
        if row is None:
            continue
        longest_m = row.longest_m if row.longest_m is not None else metres(row.longest_ft or 0.0)
        if lead.length_m > longest_m + REACH_NOISE_M:
            yield (
                f"{lead.name} lead: up to {row.longest} is advised for {row.size} at "
                f"{row.up_to_a:g} A ({advised.source}; {advised.status})"
            )
