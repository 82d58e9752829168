"""Reads the package data once and refuses it when it is not whole.

A fault here is the project's own, never the user's. Imports nothing of the project but errors.
"""

import json
import re
import unicodedata
from collections.abc import Hashable
from functools import cache
from importlib.resources import files
from typing import Annotated, Any, TypeVar

import yaml
from pydantic import BaseModel, Field, ValidationError

from spreadload.errors import InternalError
from spreadload.practice.cables import HouseCables, LeadLengths
from spreadload.practice.draws import (
    KindRow,
    LeakageRow,
    PowerFactorRow,
    StartRow,
    WattsRow,
)
from spreadload.practice.records import (
    Caution,
    Figure,
    Figures,
    LabelWord,
    Plug,
    Record,
    Region,
    RouteRule,
    Sourced,
    Use,
)

REGION_IDS = ("AU", "NZ", "UK", "EU", "IT", "US", "CA", "JP")

_Model = TypeVar("_Model", bound=BaseModel)


class DrawBook(Record):
    """Everything assumed of loads nobody measured."""

    watts: tuple[WattsRow, ...]
    power_factors: tuple[PowerFactorRow, ...]
    leakage: tuple[LeakageRow, ...]
    starts: tuple[StartRow, ...]
    cool_down: tuple[KindRow, ...]


class HabitBook(Record):
    """Habits that hold in every region."""

    route: RouteRule
    head_cord_m: Figure
    unlisted_lead_m: Figures
    unlisted_lead_ft: Figures
    appliance_cord_m: Figure
    rewireable_factor: Figure
    broken_ring_a: Figure
    rcd_ma: dict[str, Figure]


class CableBook(Record):
    """Tables of cables by the name a region calls them by."""

    house_cables: dict[str, HouseCables]
    rings: HouseCables
    lead_lengths: dict[str, LeadLengths]


class _PlugBook(Record):
    plugs: tuple[Plug, ...]


class _CautionBook(Record):
    cautions: tuple[Caution, ...]


class _LabelGroup(Sourced):
    feeds: Use
    certainty: float
    regions: tuple[str, ...]
    language: str
    room: str = ""
    words: Annotated[tuple[str, ...], Field(min_length=1)]


class _LabelBook(Record):
    groups: tuple[_LabelGroup, ...]


# The C parser, where the wheel has it, reads the data some ten times faster.
_SafeLoader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _UniqueKeyLoader(_SafeLoader):  # type: ignore[misc]
    """A safe loader that refuses a key given twice, which plain YAML keeps in silence."""

    def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[Hashable, Any]:  # noqa: FBT001, FBT002 - signature of the base class
        keys = [self.construct_object(key, deep=deep) for key, _ in node.value]
        repeated = {key for key in keys if keys.count(key) > 1}
        if repeated:
            raise InternalError(f"practice data: key given twice: {sorted(repeated)}")
        mapping: dict[Hashable, Any] = super().construct_mapping(node, deep)
        return mapping


def parse(text: str, name: str) -> dict[str, Any]:
    """Return a YAML mapping; ``name`` is for messages.

    Raises:
        InternalError: Not a mapping, or a key is given twice.
    """
    try:
        data = yaml.load(text, Loader=_UniqueKeyLoader)  # noqa: S506 - a subclass of SafeLoader
    except yaml.YAMLError as fault:
        raise InternalError(f"practice data {name}: {fault}") from fault
    if not isinstance(data, dict):
        raise InternalError(f"practice data {name}: not a mapping")
    return data


def build(model: type[_Model], data: dict[str, Any], name: str) -> _Model:
    """Return a validated record; JSON on the way keeps strict mode and allows tuples.

    Raises:
        InternalError: The data does not fit the model.
    """
    try:
        return model.model_validate_json(json.dumps(data))
    except ValidationError as fault:
        raise InternalError(f"practice data {name}: {fault}") from fault


def read_data(name: str) -> dict[str, Any]:
    """Return one file of the package data as plain data.

    Raises:
        InternalError: It is no YAML mapping, or a key is given twice.
    """
    text = (files("spreadload.practice") / "data" / name).read_text(encoding="utf-8")
    return parse(text, name)


@cache
def plugs() -> dict[str, Plug]:
    """Return every plug by id, references checked."""
    rows = build(_PlugBook, read_data("plugs.yaml"), "plugs.yaml").plugs
    found = {row.id: row for row in rows}
    if len(found) < len(rows):
        raise InternalError("practice data plugs.yaml: a plug id is given twice")
    for row in rows:
        check_entries(row, found)
    return found


def check_entries(plug: Plug, known: dict[str, Plug]) -> None:
    """Refuse a plug that enters an unknown, a smaller or an otherwise-phased outlet.

    Raises:
        InternalError: Any of these.
    """
    if plug.id not in plug.enters:
        raise InternalError(f"practice data plugs.yaml: {plug.id} does not enter its own outlet")
    for outlet in plug.enters:
        if outlet not in known:
            raise InternalError(f"practice data plugs.yaml: {plug.id} enters unknown {outlet}")
        if known[outlet].rated_a < plug.rated_a or known[outlet].phases != plug.phases:
            raise InternalError(f"practice data plugs.yaml: {plug.id} must not enter {outlet}")


@cache
def _common_rows() -> dict[str, Any]:
    return read_data("regions/common.yaml")


@cache
def region_book(region_id: str) -> Region:
    """Return one region, alone so that no other has to be read: its rows on top of common ones.

    Raises:
        InternalError: No such region, or its data is not whole.
    """
    if region_id not in REGION_IDS:
        raise InternalError(f"no practice for region {region_id!r}")
    common, name = _common_rows(), f"regions/{region_id.lower()}.yaml"
    own = read_data(name)
    words = common["words"] | own.get("words", {})
    row = build(Region, common | own | {"words": words}, name)
    if row.id != region_id:
        raise InternalError(f"practice data {name}: id is {row.id}")
    check_family(row, plugs())
    check_tables(row, cable_book())
    return row


def check_family(region: Region, known: dict[str, Plug]) -> None:
    """Refuse a region whose plugs are unknown or not in order of rating.

    Raises:
        InternalError: Any of these.
    """
    unknown = {*region.plug_family, region.lead_plug} - set(known)
    if unknown:
        raise InternalError(f"practice data {region.id}: unknown plugs {sorted(unknown)}")
    ratings = [known[plug].rated_a for plug in region.plug_family]
    if ratings != sorted(ratings):
        raise InternalError(f"practice data {region.id}: plug_family is not in order of rating")


def check_tables(region: Region, book: CableBook) -> None:
    """Refuse a region that goes by a table of cables nobody wrote down.

    Raises:
        InternalError: It does.
    """
    if region.house_cables not in book.house_cables:
        raise InternalError(
            f"practice data {region.id}: unknown house_cables {region.house_cables}"
        )
    if region.lead_lengths not in (None, *book.lead_lengths):
        raise InternalError(
            f"practice data {region.id}: unknown lead_lengths {region.lead_lengths}"
        )


@cache
def cable_book() -> CableBook:
    """Return the tables of cables."""
    return build(CableBook, read_data("cables.yaml"), "cables.yaml")


@cache
def draw_book() -> DrawBook:
    """Return everything assumed of loads."""
    return build(DrawBook, read_data("draw.yaml"), "draw.yaml")


@cache
def habit_book() -> HabitBook:
    """Return the habits that hold everywhere."""
    return build(HabitBook, read_data("habits.yaml"), "habits.yaml")


@cache
def caution_book() -> tuple[Caution, ...]:
    """Return every caution in order of weight."""
    rows = build(_CautionBook, read_data("cautions.yaml"), "cautions.yaml").cautions
    for row in rows:
        check_regions(row.regions, f"cautions.yaml: {row.id}")
    return rows


@cache
def label_words(region: str) -> tuple[LabelWord, ...]:
    """Return the label words of a region, the one to believe first coming first.

    The order of the file decides, and within a group phrases come before single words.
    """
    groups = build(_LabelBook, read_data("labels.yaml"), "labels.yaml").groups
    found: dict[str, LabelWord] = {}
    for group in groups:
        check_regions(group.regions, "labels.yaml")
        if group.regions and region not in group.regions:
            continue
        words = [spelled for text in group.words for spelled in spellings(text)]
        row = _label_word(group).model_copy(update={"alike": tuple(words)})
        for word in sorted(words, key=lambda word: -word.count(" ")):
            found.setdefault(word, row.model_copy(update={"word": word}))
    return tuple(found.values())


def _label_word(group: _LabelGroup) -> LabelWord:
    data = group.model_dump(mode="json", exclude={"regions", "words"}) | {"word": group.words[0]}
    return build(LabelWord, data, "labels.yaml")


def spellings(text: str) -> tuple[str, ...]:
    """Return a label word in lower case without punctuation, with and without its accents."""
    plain = " ".join(re.findall(r"[^\W_]+", text.lower()))
    bare = "".join(c for c in unicodedata.normalize("NFD", plain) if not unicodedata.combining(c))
    return (plain,) if not bare.isascii() or bare == plain else (plain, bare)


def check_regions(named: tuple[str, ...], where: str) -> None:
    """Refuse a list of regions that names an unknown one.

    Raises:
        InternalError: It does.
    """
    unknown = set(named) - set(REGION_IDS)
    if unknown:
        raise InternalError(f"practice data {where}: unknown region {sorted(unknown)}")
