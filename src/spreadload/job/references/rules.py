"""The soft rules and thresholds. Imports only its neighbours."""

from collections.abc import Iterator

from spreadload.job.job import Job
from spreadload.job.preferences import Rules
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
        ("warm_aim_pct", _stated_aim_pct(rules), rules.warm_most_pct, "most for a warm breaker"),
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


def _stated_aim_pct(rules: Rules) -> float | None:
    """Return the aim for a warm breaker where somebody stated it; else it gives way to the most."""
    return rules.warm_aim_pct if "warm_aim_pct" in rules.model_fields_set else None
