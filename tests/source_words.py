"""The words that end every source: how far a number can be trusted."""

STATUSES = (
    "verified in public text",
    "verified in a secondary text only",
    "from memory",
    "derived",
    "common practice, no source",
    "our own choice",
)


def status_of(source: str) -> str:
    """Return the status a source ends with, "" where it ends with none of the agreed words."""
    status = source.rpartition("; ")[2]
    return status if status in STATUSES else ""
