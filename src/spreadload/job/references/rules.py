"""The soft rules and thresholds. Imports only its neighbours."""

from collections.abc import Iterator

from spreadload.job.job import Job
from spreadload.job.references.finding import Finding


def check_rules(job: Job) -> Iterator[Finding]:
    """Yield what cannot be meant about the order of the soft rules and their thresholds."""
    rules = job.rules
    for key, goals in (("order", rules.order), ("off", rules.off)):
        for goal in dict.fromkeys(goals):
            if goals.count(goal) > 1:
                yield Finding(("rules", key), "names a rule twice", goal, remedy="name it once")
    pairs = (
        (
            "leakage_guide_pct",
            rules.leakage_guide_pct,
            rules.leakage_may_trip_pct,
            "may-trip share",
        ),
        ("lead_drop_pct", rules.lead_drop_pct, rules.total_drop_pct, "total drop"),
    )
    for key, part, whole, name in pairs:
        if part is not None and whole is not None and part > whole:
            yield Finding(
                ("rules", key),
                f"is more than the {name}",
                f"{part:g}",
                f"at most {whole:g} %",
                "correct one of the two",
            )
