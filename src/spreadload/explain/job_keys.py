"""What a job file may say: every section and key with its kind, its limits and its meaning.

Kinds and limits are read off the models through their JSON Schema, so that they cannot go stale.
The same schema, with the meanings put in, is what an editor checks a file against while it is
typed. Imports the job's models and the meanings in ``practice``.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.practice.keys import meaning
from spreadload.words import row

Schema = dict[str, Any]

USE_MEANS = "Other files this one pulls in, by path beside it; what stands here is laid over them."
_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_REF = "#/$defs/"
_UNITS = {
    "a": "amps",
    "v": "volts",
    "w": "watts",
    "va": "volt-amps",
    "ma": "milliamps",
    "m": "metres",
    "ft": "feet",
    "mm2": "square millimetres",
    "awg": "gauge",
    "pct": "per cent",
    "min": "minutes",
}
_PLAIN = {
    "string": "text",
    "number": "number",
    "integer": "whole number",
    "boolean": "true or false",
}


@dataclass(frozen=True)
class Key:
    """One key.

    Attributes:
        kind: What may stand after it, in words.
        section: Path of the section that holds what it opens, or "".
        default: What holds when it is left out, or "" where that is nothing or assumed by region.
    """

    name: str
    kind: str
    meaning: str
    is_required: bool
    section: str = ""
    default: str = ""


@dataclass(frozen=True)
class Section:
    """A group of keys.

    Attributes:
        path: Where it stands, such as ``supply.readings``; "" for the top of the file.
        form: How its entries are written: ``one group``, ``by id`` or ``list``.
    """

    path: str
    form: str
    meaning: str
    keys: tuple[Key, ...]


@cache
def sections() -> tuple[Section, ...]:
    """Return every section of a job file in the order of the file, then those of its log."""
    top, *rest = _walk(Job, "")
    use = Key("use", "text, or list of names", USE_MEANS, is_required=False)
    log = (section for section in _walk(Log, "log") if section.path != "log")
    return (replace(top, keys=(*top.keys, use)), *rest, *log)


def job_schema() -> Schema:
    """Return the JSON Schema of a job file, every key with its meaning."""
    schema = _described(Job)
    use = {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}
    schema["properties"]["use"] = use | {"description": USE_MEANS}
    return {"$schema": _DIALECT} | _forgiving(schema)


def _forgiving(schema: Schema) -> Schema:
    """Return a schema that takes what the reader takes: numbers for texts, nothing for a group."""
    loosened: Schema = {}
    for key, value in schema.items():
        if isinstance(value, dict):
            loosened[key] = _forgiving(value)
        elif isinstance(value, list):
            loosened[key] = [_forgiving(v) if isinstance(v, dict) else v for v in value]
        else:
            loosened[key] = value
    is_free_text = loosened.get("type") == "string" and not {"enum", "pattern"} & loosened.keys()
    if is_free_text:
        loosened["type"] = ["string", "number"]
    elif loosened.get("type") == "object":
        loosened["type"] = ["object", "null"]
    return loosened


def _described(model: type[Job | Log]) -> Schema:
    """Return a model's schema with meanings in it; what tells of Python is left out."""
    schema: Schema = model.model_json_schema(by_alias=True)
    for name, definition in ((model.__name__, schema), *schema.get("$defs", {}).items()):
        definition.pop("description", None)
        for key, value in definition.get("properties", {}).items():
            value.pop("title", None)
            value["description"] = meaning(name, key)
    return schema


def _walk(model: type[Job | Log], path: str) -> Iterator[Section]:
    schema = _described(model)
    definitions = schema.get("$defs", {})
    yield from _sections(schema, definitions, path, "one group", "")


def _sections(
    schema: Schema, definitions: Schema, path: str, form: str, means: str
) -> Iterator[Section]:
    keys = []
    below = []
    for name, value in schema["properties"].items():
        if not value["description"]:
            continue  # found out by the program, never written
        inner = _group_below(value, definitions)
        at = f"{path}.{name}".lstrip(".") if inner else ""
        is_required = name in schema.get("required", ())
        kind = inner[1] if inner else _kind(name, value, definitions)
        default = "" if inner else _default(value)
        keys.append(Key(name, kind, value["description"], is_required, at, default))
        if inner:
            below.append(_sections(inner[0], definitions, at, inner[1], value["description"]))
    yield Section(path, form, means, tuple(keys))
    for each in below:
        yield from each


def _group_below(value: Schema, definitions: Schema) -> tuple[Schema, str] | None:
    """Return the group of keys a key opens, and how its entries are written."""
    for option in value.get("anyOf", [value]):
        by_id = option.get("additionalProperties")
        items = option.get("items", {})
        mixed = [(o, "list, of plain text too") for o in items.get("anyOf", ())]
        for inner, form in (
            (option, "one group"),
            (by_id if isinstance(by_id, dict) else {}, "by id"),
            (items, "list"),
            *mixed,
        ):
            definition = definitions.get(inner.get("$ref", "").removeprefix(_REF), {})
            if "properties" in definition:
                return definition, form
    return None


def _kind(name: str, value: Schema, definitions: Schema) -> str:
    options = [o for o in value.get("anyOf", [value]) if o.get("type") != "null"]
    return ", or ".join(dict.fromkeys(_one_kind(name, o, definitions) for o in options))


def _one_kind(name: str, option: Schema, definitions: Schema) -> str:
    if "$ref" in option:
        option = definitions[option["$ref"].removeprefix(_REF)]
    if "enum" in option:
        return row(map(str, option["enum"]), "or")
    if "pattern" in option:
        return "time of day, such as 7:30"
    if "prefixItems" in option:
        return f"[x, y] in {'feet' if name.endswith('_ft') else 'metres'}"
    kind = option.get("type", "")
    if kind == "array":
        return f"list of {_plural(_one_kind('', option.get('items', {}), definitions))}"
    if kind == "object":
        return f"{{name: {_kind('', option.get('additionalProperties', {}), definitions)}}}"
    return f"{_unit(name) or _PLAIN[kind]}{_limits(option)}"


def _unit(name: str) -> str:
    """Return the unit a key has in its name; a price `per` something has none."""
    return "" if "_per_" in name else _UNITS.get(name.rpartition("_")[2], "")


def _plural(kind: str) -> str:
    return {"text": "names", "list of names": "lists of names"}.get(kind, kind)


def _limits(option: Schema) -> str:
    low, above = option.get("minimum"), option.get("exclusiveMinimum")
    high, below = option.get("maximum"), option.get("exclusiveMaximum")
    least = _bound(low, "over", above)
    most = _bound(high, "under", below)
    return f", {least} to {most}" if least and most else ""


def _bound(inside: float | None, word: str, outside: float | None) -> str:
    if inside is not None:
        return f"{inside:.15g}"
    return f"{word} {outside:.15g}" if outside is not None else ""


def _default(value: Schema) -> str:
    default = value.get("default")
    if default in (None, "", [], {}, False) or isinstance(default, list | dict):
        return ""
    if default is True:
        return "true"
    return f"{default:g}" if isinstance(default, int | float) else str(default)
