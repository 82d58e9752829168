"""YAML text to a tree of entries, refusing every trap of the format.

Works on the parser's events with its own stack, so nesting cannot exhaust the interpreter's, and
never builds an object a file asks for. Imports only its neighbours and ``errors``.
"""

import re
from dataclasses import dataclass, field, replace
from typing import NoReturn

import yaml

from spreadload.errors import Fault
from spreadload.io.scalars import meaning
from spreadload.io.source import Entry, Place, group, row, shown
from spreadload.io.syntax import syntax_fault

MAX_DEPTH = 30
MAX_ENTRIES = 500_000
_PARSER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_UNFIT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff]")
# What comes along, unseen, when text is pasted: line ends that YAML counts and editors do not, hard
# blanks that do not indent, and marks of no width that make a key another key.
_PASTED: dict[int, str] = dict.fromkeys((0x85, 0xA0, 0x2028, 0x2029), " ")
_PASTED |= dict.fromkeys((0xAD, 0x200B, 0x200E, 0x200F, 0x2060, 0xFEFF), "")
_PASTED |= dict.fromkeys((*range(0x202A, 0x202F), *range(0x2066, 0x206A)), "")
# `kitchen:{use: kitchen}` and `kitchen {use: kitchen}`: YAML reads a key `kitchen:{use`.
_RUNS_ON = re.compile(r"[^\[{]*\w:?\s*[\[{]")
_GLUED = re.compile(r"(\s*(?:- +)?[\w\"'](?:(?!: )[^\[{#,])*?)(?::|\s+)(?=[\[{])")
_MOST_PARTED = 50
_QUOTE_IT = "put the text in quotes"
_KEY_REMEDY = "write `key: value` with one word or a quoted text as the key"


@dataclass(frozen=True)
class Composed:
    """One file's tree, what is wrong with it, and whether the whole file is in the tree.

    In ``doubled`` are the groups at the top that were given twice, or hold a name that was: of each
    two only the first is in the tree.
    """

    root: Entry | None
    faults: tuple[Fault, ...]
    complete: bool
    doubled: frozenset[str] = frozenset()


def compose(text: str, file: str, first_line: str = "region: ...") -> Composed:
    """Return the tree of one YAML document whose top level is a group of keys.

    Args:
        text: The whole file.
        file: The file as the user named it, for places and faults.
        first_line: A line such a file may start with, for whoever wrote something else.
    """
    text = text.translate(_PASTED)
    lines = text.split("\n")
    faults: list[Fault] = []
    while True:
        composed, glued = _composed("\n".join(lines), file, first_line)
        parted = {n: line for n in glued if (line := _parted(lines[n - 1])) != lines[n - 1]}
        if not parted or len(faults) >= _MOST_PARTED:
            return replace(composed, faults=(*faults, *composed.faults))
        for number, line in parted.items():
            # Read on as the remedy says: what stands in the brackets is not what is wrong.
            lines[number - 1] = line
            problem = "a colon with a blank behind it is missing before the bracket"
            faults.append(Fault(file, number, "", problem, remedy=f"write `{shown(line)}`"))


def _parted(line: str) -> str:
    """Return a line with a colon and a blank between its key and the bracket that follows.

    Only where the bracket closes at the end of the line: `P1 [old]: 16` is an id with brackets.
    """
    found = _GLUED.match(line)
    if found is None or not _is_one_bracket(line[found.end() :].partition(" #")[0].rstrip()):
        return line
    return f"{found[1]}: {line[found.end() :]}"


def _is_one_bracket(text: str) -> bool:
    depth = 0
    for at, sign in enumerate(re.sub(r"\"[^\"]*\"|'[^']*'", lambda m: "_" * len(m[0]), text), 1):
        depth += (sign in "[{") - (sign in "]}")
        if not depth:
            return at == len(text)
    return False


def _composed(text: str, file: str, first_line: str) -> tuple[Composed, list[int]]:
    """Return the tree of a text, and the lines on which a key may have run into a bracket."""
    builder = _Builder(file)
    try:
        for event in yaml.parse(text, Loader=_PARSER):
            builder.feed(event)
    except _GiveUpError:
        return Composed(None, tuple(builder.faults), complete=False), []
    except (yaml.YAMLError, ValueError, OverflowError) as error:
        fault = syntax_fault(error, file, text)
        composed = Composed(None, (*builder.faults, fault), complete=False)
        # The parser may only notice on the line behind it.
        return composed, [n for n in (fault.line, fault.line - 1) if 0 < n <= text.count("\n") + 1]
    return _top_level(builder, first_line), builder.glued


def _top_level(builder: "_Builder", first_line: str) -> Composed:
    root = builder.root
    if root is None or root.is_blank:
        builder.report(1, "the file is empty", remedy="check that this is the right file")
    elif not isinstance(root.value, dict):
        remedy = f"start it with lines such as `{first_line}`"
        builder.report(root.place.line, "the file is not a group of `key: value` lines", remedy)
    else:
        doubled = frozenset(builder.doubled)
        return Composed(root, tuple(builder.faults), not builder.lost, doubled)
    return Composed(None, tuple(builder.faults), complete=False)


class _GiveUpError(Exception):
    """Nothing after this point can be read sensibly; the fault is already reported."""


@dataclass
class _Open:
    """A group or list whose end has not come yet."""

    line: int
    anchor: str | None
    is_group: bool
    children: dict[str, Entry] = field(default_factory=dict)
    items: list[Entry] = field(default_factory=list)
    merged: dict[str, Entry] = field(default_factory=dict)
    key: Entry | None = None


class _Builder:
    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []
        self.root: Entry | None = None
        self.lost = False
        self.doubled: set[str] = set()
        self.glued: list[int] = []
        self._stack: list[_Open] = []
        self._anchors: dict[str, Entry | None] = {}
        self._documents = 0
        self._unused: dict[str, tuple[int, str, str]] = {}

    def report(self, line: int, problem: str, remedy: str = "", value: str = "") -> None:
        key = shown(_dotted(self._stack))
        self.faults.append(Fault(self.file, line, key, problem, shown(value), "", remedy))

    def feed(self, event: yaml.Event) -> None:
        line = event.start_mark.line + 1 if event.start_mark else 0
        match event:
            case yaml.ScalarEvent():
                self._refuse_tag(event, line)
                self._keep(event.anchor, self._scalar(event, line))
            case yaml.AliasEvent():
                self._take(self._aliased(event.anchor or "", line))
            case yaml.MappingStartEvent() | yaml.SequenceStartEvent():
                self._refuse_tag(event, line)
                self._open(event, line)
            case yaml.MappingEndEvent() | yaml.SequenceEndEvent():
                self._close()
            case yaml.DocumentStartEvent():
                self._start_document(line)
            case yaml.DocumentEndEvent():
                self._refuse_unused()
            case _:
                pass

    def _refuse_unused(self) -> None:
        """Refuse names that nothing refers to: `room: &lounge` gives no room, but names nothing."""
        self.lost = self.lost or bool(self._unused)
        for line, key, text in self._unused.values():
            problem, remedy = "a value starts with `&`, which has a meaning of its own", _QUOTE_IT
            self.faults.append(Fault(self.file, line, shown(key), problem, shown(text), "", remedy))

    def _start_document(self, line: int) -> None:
        self._documents += 1
        if self._documents > 1:
            remedy = "remove the line `---`, or put the second part in a file of its own"
            self._give_up(line, "a second document starts here", remedy)

    def _give_up(self, line: int, problem: str, remedy: str, value: str = "") -> NoReturn:
        self.report(line, problem, remedy, value)
        raise _GiveUpError

    def _refuse_tag(self, event: yaml.NodeEvent, line: int) -> None:
        tag = getattr(event, "tag", None)
        if tag not in (None, "!"):
            self.report(
                line,
                "a value starts with `!`, which is not allowed here",
                "remove the word with the `!`, or put the text in quotes",
                str(tag).replace("tag:yaml.org,2002:", "!!"),
            )

    def _scalar(self, event: yaml.ScalarEvent, line: int) -> Entry:
        place, text = Place(self.file, line), event.value
        if event.anchor:
            self._unused[event.anchor] = (line, _dotted(self._stack), f"&{event.anchor} {text}")
        if self._expects_key() and not event.style and _RUNS_ON.match(text):
            self.glued.append(line)
        if _UNFIT.search(text):
            self.report(line, "the text holds a control character", "remove it", text)
            return Entry(place, "", text, refused=True)
        if not event.implicit[0] or self._expects_key():
            return Entry(place, text, text)
        try:
            return Entry(place, meaning(text), text)
        except ValueError:
            self.report(line, "not a finite number", "write a number, or leave the key out", text)
            return Entry(place, text, text, refused=True)

    def _expects_key(self) -> bool:
        return bool(self._stack) and self._stack[-1].is_group and self._stack[-1].key is None

    def _aliased(self, anchor: str, line: int) -> Entry:
        if anchor not in self._anchors:
            self._give_up(
                line,
                "a value starts with `*`, which has a meaning of its own",
                _QUOTE_IT,
                f"*{anchor}",
            )
        self._unused.pop(anchor, None)
        entry = self._anchors[anchor]
        if entry is None:
            self._give_up(line, "an entry contains itself", "write the entry out", f"*{anchor}")
        if self._expects_key():
            return Entry(Place(self.file, line), entry.value, entry.raw)
        return entry

    def _open(self, event: yaml.CollectionStartEvent, line: int) -> None:
        if len(self._stack) >= MAX_DEPTH:
            self._give_up(
                line,
                f"entries are nested more than {MAX_DEPTH} deep",
                "check the brackets and the indentation",
            )
        if event.anchor:
            self._anchors[event.anchor] = None
        is_group = isinstance(event, yaml.MappingStartEvent)
        self._stack.append(_Open(line, event.anchor, is_group))

    def _close(self) -> None:
        done = self._stack.pop()
        place = Place(self.file, done.line)
        # What `<<` would bring is read on with, so that it seems to be missing nowhere.
        children = done.merged | done.children
        entry = group(place, children) if done.is_group else row(place, done.items)
        if entry.size > MAX_ENTRIES or entry.depth > MAX_DEPTH:
            self._give_up(
                done.line,
                "the file repeats itself through `*` until it is too big",
                "write the entries out",
            )
        self._keep(done.anchor, entry)

    def _keep(self, anchor: str | None, entry: Entry) -> None:
        if anchor:
            self._anchors[anchor] = entry
        self._take(entry)

    def _take(self, entry: Entry) -> None:
        if not self._stack:
            self.root = entry
            return
        top = self._stack[-1]
        if not top.is_group:
            top.items.append(entry)
        elif top.key is None:
            top.key = entry
        else:
            key, top.key = top.key, None
            self._add(top, key, entry)

    def _add(self, top: _Open, key: Entry, entry: Entry) -> None:
        if isinstance(key.value, dict | tuple) or not key.raw or key.refused:
            self.lost = True
            if not key.refused:
                self.report(key.place.line, "a key is missing before the colon", _KEY_REMEDY)
        elif key.raw == "<<":
            self.report(key.place.line, "the key `<<` is not read here", "write the keys out")
            self.lost = self.lost or not isinstance(entry.value, dict)
            top.merged |= entry.value if isinstance(entry.value, dict) else {}
        elif key.raw in top.children:
            first = top.children[key.raw].place.line
            self._report_twice(key, first)
        else:
            top.children[key.raw] = Entry(
                key.place, entry.value, entry.raw, entry.refused, entry.size, entry.depth
            )

    def _report_twice(self, key: Entry, first: int) -> None:
        top = self._stack[0].key
        self.doubled.add(key.raw if top is None else top.raw)
        path = ".".join(part for part in (_dotted(self._stack), shown(key.raw)) if part)
        is_same = first == key.place.line
        problem = "given twice on this line" if is_same else f"given twice, first on line {first}"
        which = "the two" if is_same else f"lines {first} and {key.place.line}"
        remedy = f"keep one of {which}, or give one another name"
        self.faults.append(Fault(self.file, key.place.line, path, problem, remedy=remedy))


def _dotted(stack: list[_Open]) -> str:
    text = ""
    for level in stack:
        if not level.is_group:
            text += f"[{len(level.items) + 1}]"
        elif level.key is not None:
            text += f".{shown(level.key.raw)}" if text else shown(level.key.raw)
    return text
