"""What somebody typed on a phone, read as an observation.

Forms, capitals and commas as one likes::

    breaker P1 off: dark B2 B3, lit B6 B7        told P2: dark B5 B8
    P1 P3 off: dark B2                           told B5 on P2
    trip P2: dark B5 B8, lit B1                  label B11 B12 on P4
    rcd RCD1: dark B5                            held P2 3h: B5 6.5 B7 3.3
    step 8.7 A at B2, read B7: 238 to 230, supply 5.5

Imports the job, ``errors`` and its neighbours only.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from spreadload.errors import Fault, InputError
from spreadload.job.job import Job
from spreadload.job.observations import Observation, Seen
from spreadload.suggest import closest, did_you_mean

_KINDS = {
    "breaker": Seen.BREAKER_OFF,
    "breakers": Seen.BREAKER_OFF,
    "switch": Seen.BREAKER_OFF,
    "switched": Seen.BREAKER_OFF,
    "off": Seen.BREAKER_OFF,
    "trip": Seen.TRIP,
    "tripped": Seen.TRIP,
    "rcd": Seen.RCD,
    "gfci": Seen.RCD,
    "press": Seen.RCD,
    "told": Seen.STORY,
    "story": Seen.STORY,
    "owner": Seen.STORY,
    "label": Seen.LABEL,
    "labelled": Seen.LABEL,
    "held": Seen.HELD,
    "step": Seen.LOAD_STEP,
}
_DARK = frozenset({"dark", "dead", "out"})
_LIT = frozenset({"lit", "alive", "live", "still", "working"})
_NOISE = frozenset({"and", "on", "off", "button", "pressed", "outlet", "outlets", "was", "says"})
_TOKEN = re.compile(r"[^\s,;:]+")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")
_RANGE = re.compile(r"(\D*)(\d+)[-\u2013](\D*)(\d+)")
_HOURS = re.compile(r"(\d+(?:\.\d+)?)\s*(h|hours?|min|minutes?)\b", re.IGNORECASE)
_MOST_WORDS = 4
_MINUTES = 60
_EXAMPLE = "write it like `breaker P1 off: dark B2 B3, lit B6` or `trip P2: dark B5, lit B1`"


def read_note(text: str, job: Job, **said: str) -> Observation:
    """Return the observation a line of text tells.

    Args:
        text: One line, in a form of the module's docstring.
        job: The job whose circuits, RCDs and outlets it names.
        said: ``who``, ``when`` and ``how``, as far as stated.

    Raises:
        InputError: With every fault: no such form, no such name, something missing.
    """
    reader = _Reader(job)
    fields = reader.read(text)
    if reader.faults:
        raise InputError(reader.faults)
    told = {k: v for k, v in said.items() if v}
    if "how" in fields and "how" in told:
        told["how"] = f"{fields['how']}, {told['how']}"
    return Observation.model_validate(fields | told)


def split_words(words: Sequence[str]) -> list[str]:
    """Return typed words one by one, commas between them or not."""
    return [part for word in words for part in word.replace(",", " ").split()]


def names_of(
    words: Sequence[str], known: Iterable[str], what: str, key: str
) -> tuple[tuple[str, ...], list[Fault]]:
    """Return the known names that words spell, and a fault for each word that spells none.

    A name may hold blanks, capitals do not matter, and ``B5-B8`` names four.
    """
    by_plain = {_plain(name): name for name in known}
    found: list[str] = []
    faults: list[Fault] = []
    words = [part for word in words for part in _unfolded(word, by_plain)]
    at = 0
    while at < len(words):
        taken = _longest(words[at : at + _MOST_WORDS], by_plain)
        if taken:
            found.append(by_plain[_plain(" ".join(words[at : at + taken]))])
        elif words[at].lower() not in _NOISE:
            near = did_you_mean(closest(words[at], by_plain.values()), words[at])
            listed = f"the job has {', '.join(list(by_plain.values())[:12]) or 'none'}"
            faults.append(
                Fault("", 0, key, f"no such {what} in the job", words[at], remedy=near or listed)
            )
        at += max(taken, 1)
    return tuple(dict.fromkeys(found)), faults


def _longest(words: Sequence[str], by_plain: dict[str, str]) -> int:
    for size in range(len(words), 0, -1):
        if _plain(" ".join(words[:size])) in by_plain:
            return size
    return 0


def _unfolded(word: str, by_plain: dict[str, str]) -> list[str]:
    """Return the names from one to another where a word gives a range of known ones."""
    match = _RANGE.fullmatch(word)
    if match is None or _plain(word) in by_plain or match[3] not in ("", match[1]):
        return [word]
    names = [f"{match[1]}{n}" for n in range(int(match[2]), int(match[4]) + 1)]
    return names if names and all(_plain(n) in by_plain for n in (names[0], names[-1])) else [word]


def _plain(text: str) -> str:
    return re.sub(r"[\s_]+", " ", text.casefold()).strip()


@dataclass
class _Reader:
    """Reads one line and gathers every fault in it."""

    job: Job
    faults: list[Fault] = field(default_factory=list)

    def read(self, text: str) -> dict[str, Any]:
        head, _, tail = text.partition(":")
        words = _TOKEN.findall(head)
        is_clear = not self._is_misspelt(words, text)
        kinds = [_KINDS[w.lower()] for w in words if w.lower() in _KINDS]
        if is_clear and not kinds:
            self.refuse("what was seen", "not clear", text.strip(), _EXAMPLE)
        if self.faults:
            return {}
        kind = kinds[0]
        is_trip = Seen.TRIP in kinds
        if is_trip and self._names_rcd(words):
            kind = Seen.RCD
        rest = [w for w in words if w.lower() not in _KINDS or self._is_name(w)]
        match kind:
            case Seen.RCD:
                return self._rcd(rest, tail, has_tripped=is_trip)
            case Seen.STORY | Seen.LABEL:
                return self._said(kind, rest, tail)
            case Seen.HELD:
                return self._held(rest, tail)
            case Seen.LOAD_STEP:
                return self._step(text)
            case _:
                return self._opened(kind, rest, tail)

    def _is_misspelt(self, words: Sequence[str], text: str) -> bool:
        """Refuse a word in front of the colon that is nearly one of ours, or one from behind it."""
        for word in words:
            plain = word.casefold()
            if self._is_name(word) or plain in _KINDS or plain in _NOISE:
                continue
            if ":" not in text and plain in _DARK | _LIT:
                self.refuse("what was seen", f"a colon is missing before {word}", text, _EXAMPLE)
                return True
            near = closest(plain, _KINDS) if plain.isalpha() else ()
            if near and not closest(word, self._names_known()):
                self.refuse("what was seen", "not clear", word, did_you_mean(near[:1], word))
                return True
        return False

    def _names_known(self) -> tuple[str, ...]:
        return (*self.job.circuits, *self.job.rcds, *self.job.outlets)

    def refuse(self, key: str, problem: str, value: str = "", remedy: str = "") -> None:
        self.faults.append(Fault("", 0, key, problem, value, remedy=remedy))

    def _is_name(self, word: str) -> bool:
        return _plain(word) in {_plain(name) for name in self._names_known()}

    def _names(
        self, words: Sequence[str], known: Iterable[str], what: str, key: str
    ) -> tuple[str, ...]:
        found, faults = names_of(words, known, what, key)
        self.faults += faults
        return found

    def _circuits(self, words: Sequence[str]) -> tuple[str, ...]:
        found = self._names(words, self.job.circuits, "circuit", "breaker")
        if not found and not self.faults:
            self.refuse("breaker", "none is named", remedy=_EXAMPLE)
        return found

    def _opened(self, kind: Seen, words: Sequence[str], tail: str) -> dict[str, Any]:
        circuits = self._circuits(words)
        lamps = self._lamps(tail, may_be_empty=kind is Seen.TRIP)
        return {"what": kind, "circuits": circuits} | lamps

    def _names_rcd(self, words: Sequence[str]) -> bool:
        plain = {_plain(word) for word in words}
        return any(_plain(rcd) in plain for rcd in self.job.rcds) and not any(
            _plain(circuit) in plain for circuit in self.job.circuits
        )

    def _rcd(self, words: Sequence[str], tail: str, *, has_tripped: bool) -> dict[str, Any]:
        named = self._names(words, self.job.rcds, "RCD", "rcd")
        if len(named) != 1 and not self.faults:
            self.refuse("rcd", f"one is needed, {len(named)} are named", remedy=_EXAMPLE)
        lamps = self._lamps(tail, may_be_empty=has_tripped)
        how = {"how": "tripped"} if has_tripped else {}
        return {"what": Seen.RCD, "rcd": named[0] if named else None} | how | lamps

    def _said(self, kind: Seen, words: Sequence[str], tail: str) -> dict[str, Any]:
        """Read ``told B5 B8 on P2`` or ``told P2: dark B5 B8``."""
        lower = [w.lower() for w in words]
        if "on" in lower:
            at = len(lower) - 1 - lower[::-1].index("on")
            outlets = self._names(words[:at], self.job.outlets, "outlet", "outlet")
            if not outlets and not self.faults:
                self.refuse("outlet", "none is named", remedy="write `told B5 on P2`")
            return {"what": kind, "circuits": self._circuits(words[at + 1 :]), "dark": outlets}
        return {"what": kind, "circuits": self._circuits(words)} | self._lamps(tail)

    def _held(self, words: Sequence[str], tail: str) -> dict[str, Any]:
        text = " ".join(words)
        found = _HOURS.search(text)
        hours = None
        if found:
            per = 1 if found[2].lower().startswith("h") else _MINUTES
            hours = float(found[1]) / per
        circuits = self._circuits(_HOURS.sub(" ", text).split())
        loads = self._amps(_TOKEN.findall(_DECIMAL_COMMA.sub(".", tail)))
        if not loads and not self.faults:
            self.refuse("held", "no amps are given", remedy="write `held P2 3h: B5 6.5 B7 3.3`")
        return {"what": Seen.HELD, "circuits": circuits, "loads_a": loads, "hours": hours}

    def _amps(self, words: Sequence[str]) -> dict[str, float]:
        loads: dict[str, float] = {}
        names: list[str] = []
        for word in words:
            number = word.lower().removesuffix("a")
            if _NUMBER.fullmatch(number) and names:
                for name in self._names(names, self.job.outlets, "outlet", "held"):
                    loads[name] = float(number)
                names = []
            elif word.lower() not in ("a", "amps"):
                names.append(word)
        if names:
            self.refuse("held", "an outlet without its amps", " ".join(names))
        return loads

    def _step(self, text: str) -> dict[str, Any]:
        """Read a load-step test: where the load was, where the volts, before and after."""
        at = re.search(r"\bat\s+([^\s,;:]+)", text, re.IGNORECASE)
        read = re.search(r"\bread\s+(?:at\s+)?([^\s,;:]+)", text, re.IGNORECASE)
        volts = re.search(r"(\d+(?:\.\d+)?)\s*V?\s*(?:to|->|→|-)\s*(\d+(?:\.\d+)?)", text)
        supply = re.search(r"supply\s+(\d+(?:\.\d+)?)", text, re.IGNORECASE)
        if not (at and read and volts and supply):
            remedy = "write `step 8.7 A at B2, read B7: 238 to 230, supply 5.5`"
            self.refuse("step", "something is missing", text.strip(), remedy)
            return {}
        loaded = self._names([at[1]], self.job.outlets, "outlet", "step at")
        where = self._names([read[1]], self.job.outlets, "outlet", "step read")
        return {
            "what": Seen.LOAD_STEP,
            "loaded": next(iter(loaded), None),
            "read": next(iter(where), None),
            "idle_v": float(volts[1]),
            "loaded_v": float(volts[2]),
            "supply_drop_v": float(supply[1]),
        }

    def _lamps(self, tail: str, *, may_be_empty: bool = False) -> dict[str, Any]:
        """Read which outlets were dark and which lit."""
        groups: dict[str, list[str]] = {"dark": [], "still_on": []}
        now: str | None = None
        for word in _TOKEN.findall(tail):
            lower = word.lower()
            if lower in _DARK or lower in _LIT:
                now = "dark" if lower in _DARK else "still_on"
            elif now is not None:
                groups[now].append(word)
            else:
                self.refuse("dark, lit", "say which it was first", word, _EXAMPLE)
                return {}
        found = {
            key: self._names(words, self.job.outlets, "outlet", _KEYS[key])
            for key, words in groups.items()
        }
        for name in sorted(set(found["dark"]) & set(found["still_on"])):
            self.refuse("dark, lit", "an outlet cannot be both", name)
        if not (self.faults or may_be_empty or any(found.values())):
            self.refuse("dark, lit", "no outlet is named", remedy=_EXAMPLE)
        return found


_KEYS = {"dark": "dark", "still_on": "lit"}
