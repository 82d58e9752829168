"""What-if variants kept in a file: a name and its clauses each.

::

    key on LED: DH1200 -> LED600 spare
    quiet kitchen: [kettle off, chargers on battery]
"""

from pathlib import Path

from spreadload.errors import Fault, InputError
from spreadload.io.yaml_source import read


def load_variants(path: Path) -> tuple[str, ...]:
    """Return the variants of a file as ``name: clause; clause``.

    Raises:
        InputError: Not readable, or something that is no list of clauses.
    """
    source = read(path)
    if source.faults:
        raise InputError(source.faults)
    found: list[str] = []
    faults: list[Fault] = []
    for name, clauses in source.data.items():
        each = [clauses] if isinstance(clauses, str) else clauses
        if not (isinstance(each, list) and each and all(isinstance(c, str) for c in each)):
            remedy = "write a clause, or a list of clauses, after the name"
            faults.append(source.fault((name,), "says nothing that can be changed", remedy=remedy))
            continue
        found.append(f"{name.replace(':', ' ')}: {'; '.join(each)}")
    if faults:
        raise InputError(faults)
    return tuple(found)
