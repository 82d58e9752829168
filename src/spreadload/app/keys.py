"""The use cases that help to write a job: what a file may say, and what is assumed in a region.

Never loads the solver.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from spreadload import practice
from spreadload.electrical.cords import CordFamily, cord_ratings
from spreadload.errors import ExitCode, Fault, InputError
from spreadload.explain.job_keys import Key, Section, job_schema, sections
from spreadload.practice import Region
from spreadload.report.headed import headed
from spreadload.report.keys_text import found_text, section_text
from spreadload.report.region_text import region_text
from spreadload.report.style import Style
from spreadload.suggest import suggest


@dataclass(frozen=True)
class KeysTold:
    """One section of the format, or one key wherever it stands."""

    section: Section | None
    found: Sequence[tuple[Section, Key]] = ()

    exit_code = ExitCode.HOLDS

    def text(self, style: Style | None = None) -> str:
        """Return the keys as text for a terminal."""
        if self.section is None:
            return found_text(self.found, style or Style())
        return section_text(self.section, style or Style())

    def data(self) -> dict[str, Any]:
        """Return the JSON Schema of a whole job file."""
        return job_schema()


@dataclass(frozen=True)
class RegionTold:
    """The practice of one region."""

    region: Region

    exit_code = ExitCode.HOLDS

    def text(self, style: Style | None = None) -> str:
        """Return the practice as text for a terminal."""
        return region_text(self.region, style or Style())

    def data(self) -> dict[str, Any]:
        """Return every row with its source."""
        region_id = self.region.id
        cords = cord_ratings(CordFamily(self.region.cord_table))
        advised = practice.lead_lengths(region_id)
        tables = {
            "plugs": [plug.model_dump(mode="json") for plug in practice.plug_family(region_id)],
            "house_cables": practice.house_cables(region_id).model_dump(mode="json"),
            "ring_cables": practice.ring_cables().model_dump(mode="json"),
            "cord_ratings": [asdict(row) for row in cords],
            "lead_lengths": advised and advised.model_dump(mode="json", exclude_none=True),
        }
        return headed("region", self.region.model_dump(mode="json") | tables)


def find_keys(name: str = "") -> KeysTold:
    """Return a section by its path, or a key by its name; the top of the file without a name.

    Raises:
        InputError: Neither a section nor a key is called so.
    """
    wanted = name.strip().lower()
    for section in sections():
        if section.path == wanted or section.path.removeprefix("log.") == wanted:
            return KeysTold(section)
    path, _, last = wanted.rpartition(".")
    found = [
        (section, key)
        for section in sections()
        for key in section.keys
        if key.name == last and path in ("", section.path)
    ]
    if not found:
        known = {s.path for s in sections()} | {k.name for s in sections() for k in s.keys}
        raise _unknown("no section or key has this name", name, known, "see `spreadload keys`")
    return KeysTold(None, found)


def find_region(name: str) -> RegionTold:
    """Return the practice of a region, named by its id or by a country in it.

    Raises:
        InputError: No region is called so.
    """
    wanted = practice.countries().get(name.strip().casefold())
    if wanted is None:
        known = practice.region_ids()
        raise _unknown("no such region", name, known, f"one of {', '.join(known)}", "REGION")
    return RegionTold(practice.region(wanted))


def _unknown(
    problem: str, name: str, known: Sequence[str] | set[str], see: str, key: str = "NAME"
) -> InputError:
    return InputError([Fault("", 0, key, problem, name, "", suggest(name, known) or see)])
