"""What a model refuses, as one fault per slip, on its line and in plain words."""

import re
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any, Literal, NewType, Self

import pytest
from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    RootModel,
    field_validator,
    model_validator,
)

from spreadload.errors import Fault, InputError
from spreadload.io.faults import validate
from spreadload.io.yaml_source import read


class Strict(BaseModel):
    """Base of the models here: as strict as those of a job."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


class Colour(StrEnum):
    """A few words."""

    RED = "red"
    DEEP_BLUE = "deep blue"


class Cat(Strict):
    """One of two kinds told apart by a key."""

    kind: Literal["cat"]
    lives: Annotated[int, Field(ge=1, le=9)] = 9


class Dog(Strict):
    """The other kind."""

    kind: Literal["dog"]
    bark_v: float


class Wall(Strict):
    """One of two kinds told apart only by their keys."""

    height_m: float
    colour: Colour = Colour.RED


class Door(Strict):
    """The other kind."""

    width_m: float
    locked: bool = False
    sign: str = ""


Text = Annotated[str, Field(max_length=12)]
Name = NewType("Name", str)
Clock = Annotated[str, Field(pattern=r"^\d\d:\d\d$", description="a time such as 07:30")]


class Thing(Strict):
    """Every shape of field that a job may have."""

    label: Text = ""
    name: Name | None = None
    rating_a: Annotated[float, Field(gt=0, le=63)] | None = None
    sockets: Annotated[int, Field(ge=1)] | None = None
    ready: bool = False
    colour: Colour | None = None
    from_: Clock | None = Field(default=None, alias="from")
    at: tuple[float, float] | None = None
    near: tuple[Text, ...] = ()
    spread: Text | tuple[Text, ...] | dict[Text, Annotated[int, Field(ge=1)]] = ""
    power: Annotated[float, Field(gt=0)] | Literal["unknown"] | None = None
    pet: Annotated[Cat | Dog, Field(discriminator="kind")] | None = None
    part: Wall | Door | None = None
    inner: "Thing | None" = None

    @field_validator("label")
    @classmethod
    def _no_shouting(cls, label: str) -> str:
        if label.isupper() and len(label) > 5:
            raise ValueError("written in capitals")
        return label


class Tags(RootModel[dict[str, tuple[str, ...]]]):
    """A model that is a plain group."""


class Whole(Strict):
    """A file."""

    title: str
    things: dict[Text, Thing] = Field(default={}, max_length=3)
    tags: Tags = Tags({})
    steps: tuple[Thing, ...] = Field(default=(Thing(),), min_length=1)

    @model_validator(mode="after")
    def _title_is_not_a_thing(self) -> Self:
        if self.title in self.things:
            raise ValueError("the title is also a thing")
        return self


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def whole(text: str) -> Whole:
    """Read and validate a file."""
    Path("f.yaml").write_text(text)
    return validate(read(Path("f.yaml")), Whole)


def faults(text: str) -> tuple[Fault, ...]:
    """Return the faults of a file that must be refused."""
    with pytest.raises(InputError) as raised:
        whole(text)
    return raised.value.faults


def thing(line: str) -> Thing:
    """Return the thing that one line of a file makes."""
    return whole(f"title: t\nthings:\n  A:\n    {line}\n").things["A"]


def refused(line: str) -> Fault:
    """Return the one fault of a thing, which must stand on its line."""
    (fault,) = faults(f"title: t\nthings:\n  A:\n    {line}\n")
    assert (fault.file, fault.line) == ("f.yaml", 4)
    assert fault.key.startswith("things.A.")
    return fault


def test_a_good_file_becomes_the_model() -> None:
    """Enums, tuples, aliases, unions and nested models all arrive as the model says."""
    made = thing(
        "{label: x, from: 07:30, at: [1, 2.5], near: [a], spread: {k: 2}, colour: deep blue,"
        " pet: {kind: dog, bark_v: 3}, part: {width_m: 1}, power: unknown, inner: {ready: true}}"
    )
    assert made.from_ == "07:30"
    assert made.at == (1.0, 2.5)
    assert made.spread == {"k": 2}
    assert made.colour is Colour.DEEP_BLUE
    assert made.pet == Dog(kind="dog", bark_v=3)
    assert made.part == Door(width_m=1)
    assert made.inner == Thing(ready=True)


@pytest.mark.parametrize(
    ("line", "field", "value"),
    [("label: 20", "label", "20"), ("label: 1.50", "label", "1.50"), ("name: 1e3", "name", "1e3"),
     ("near: [1, 2.0, x]", "near", ("1", "2.0", "x")), ("spread: 7", "spread", "7"),
     ("spread: [7]", "spread", ("7",)), ("label:", "label", ""), ("ready:", "ready", False),
     ("near:", "near", ()), ("colour:", "colour", None), ("power: 5", "power", 5.0),
     ("inner: {label: 3}", "inner", Thing(label="3")), ("sockets: 1", "sockets", 1)],
)  # fmt: skip
def test_what_loses_nothing_is_forgiven(line: str, field: str, value: object) -> None:
    """Numbers where text is asked for keep their spelling; an empty key is no key."""
    assert getattr(thing(line), field) == value


def test_forgiving_follows_the_member_of_a_union_that_is_meant() -> None:
    """Of several models the one whose keys are written says what fits."""
    assert thing("part: {width_m: 1, sign: 007}").part == Door(width_m=1, sign="007")
    assert thing("part: {width_m: 1, sign: 20}").part == Door(width_m=1, sign="20")


def test_a_bare_name_is_an_entry() -> None:
    """A room of which nothing is said but its name is a room, also with a numeric name."""
    bare = {"hall": Thing(), "12": Thing()}
    assert whole("title: t\nthings:\n  hall:\n  12:\n").things == bare
    assert whole("title: t\nthings: {hall: null, 12: ~}\n").things == bare
    assert whole("title: 7\ntags: {a: [1]}\n").tags == Tags({"a": ("1",)})


@pytest.mark.parametrize(
    ("line", "key", "said"),
    [("labl: x", "labl", "unknown key .*did you mean label"),
     ("From: 07:30", "From", "unknown key .*did you mean from"),
     ("from_: 07:30", "from_", "unknown key .*did you mean from"),
     ("zzz: 1", "zzz", "unknown key.*allowed: label, name, rating_a"),
     ("rating_a: 0", "rating_a", r"too small \(is 0\); allowed: more than 0 A"),
     ("rating_a: 1e3", "rating_a", r"too large \(is 1e3\); allowed: at most 63 A"),
     ("rating_a: 16A", "rating_a", "must be a number.*alone.*: 16$"),
     ("rating_a: '16'", "rating_a", "must be a number.*: 16$"),
     ("rating_a: 16,5", "rating_a", r"must be a number.*: 16\.5$"),
     ("rating_a: 016", "rating_a", "must be a number.*: 16$"),
     ("rating_a: 0_060", "rating_a", "must be a number.*: 60$"),
     ("rating_a: 1_000", "rating_a", r"too large \(is 1_000\); allowed: at most 63 A$"),
     ("rating_a: 100A", "rating_a", r"too large \(is 100A\); allowed: at most 63 A$"),
     ("sockets: 1,5", "sockets", "whole number.*decimal point"),
     ("rating_a: 1,000", "rating_a", r"write 1000, or 1\.000"),
     ("rating_a: lots", "rating_a", r"\(is lots\); allowed: more than 0, at most 63 A.*in digits"),
     ("rating_a: true", "rating_a", r"must be a number \(is true\)"),
     ("rating_a: [16]", "rating_a", "must be a number"),
     ("sockets: 1.5", "sockets", "whole number.*decimal point"),
     ("sockets: 1e3", "sockets", "whole number.*in digits.*exponent"),
     ("sockets: two", "sockets", r"whole number \(is two\); allowed: at least 1.*digits: 2$"),
     ("sockets: 0", "sockets", "at least 1$"),
     ("ready: yes", "ready", r"must be true or false \(is yes\).*write true or false"),
     ("ready: 1", "ready", "must be true or false"),
     ("label: true", "label", r"must be text \(is true\).*quotes"),
     ("label: {a: 1}", "label", "must be text"),
     ("label: aaaaaaaaaaaaa", "label", "too long.*at most 12 characters"),
     ("label: SHOUTED", "label", r"written in capitals \(is SHOUTED\)"),
     ("colour: Red", "colour", r"allowed here \(is Red\); allowed: red, deep blue.*mean red"),
     ("colour: deep-blue", "colour", "did you mean deep blue"),
     ("colour: 3", "colour", "(?=.*red, deep blue)(?=.*is 3)"),
     ("from: 7h30", "from", "allowed: a time such as 07:30"),
     ("from: “07:30”", "from", "allowed: a time such as 07:30.*straight quotes"),
     ("rating_a: 95%", "rating_a", "this key is in A: write that number alone$"),
     ("power: 95%", "power", r"write a share of one: 0\.95$"),
     ("at: [1]", r"at[2]", "too short; allowed: 2 entries"),
     ("at: [1, 2, 3]", "at", "too many entries; allowed: at most 2"),
     ("at: [1, x]", "at[2]", r"must be a number \(is x\)"),
     ("near: hall", "near", r"must be a list \(is hall\).*\[first, second\]"),
     ("near: [a, [b]]", "near[2]", "must be text"),
     ("spread: {k: 0}", "spread.k", "at least 1"),
     ("spread: {k: v}", "spread.k", "whole number"),
     ("spread: {aaaaaaaaaaaaa: 1}", "spread.aaaaaaaaaaaaa", "name itself"),
     ("spread: [a, {b: c}]", "spread[2]", "must be text"),
     ("spread: true", "spread", "must be text or a list or a group"),
     ("power: -1", "power", "more than 0"),
     ("power: unknwon", "power", "a number or one of unknown.*did you mean unknown"),
     ("power: 5W", "power", "a number or one of unknown.*: 5$"),
     ("pet: {kind: dog}", "pet.bark_v", "missing"),
     ("pet: {kind: cat, lives: 12}", "pet.lives", "at most 9"),
     ("pet: {kind: cat, bark_v: 1}", "pet.bark_v", "unknown key"),
     ("pet: {kind: cow}", "pet.kind", "(?=.*cat)(?=.*dog)"),
     ("pet: {lives: 3}", "pet.kind", "(?=.*cat)(?=.*dog)"),
     ("pet: cat", "pet", "must be a group"),
     ("part: {height_m: 2, colour: pink}", "part.colour", "red, deep blue"),
     ("part: {width_m: 2, locked: on}", "part.locked", "true or false"),
     ("part: {width_m: 2, loked: true}", "part.loked", "did you mean locked"),
     ("inner: {inner: {inner: {rating_a: -1}}}", "inner.inner.inner.rating_a", "more than 0 A"),
     ("inner: [1]", "inner", "must be a group"),
     ("ready: null", "ready", "must be true or false.*remove the line")],
)  # fmt: skip
def test_one_fault_for_one_slip(line: str, key: str, said: str) -> None:
    """One slip is one fault whose key, words and remedy lead to it."""
    fault = refused(line)
    assert fault.key == f"things.A.{key}"
    assert re.search(said, str(fault), re.DOTALL), str(fault)
    assert "constrained" not in str(fault)
    assert "Input" not in str(fault)


def test_a_text_cut_by_a_comma_is_known_for_one() -> None:
    """In braces `label: red, by the door` is two keys: the second was no key in anybody's mind."""
    (fault,) = faults("title: t\nthings: {A: {label: red, by the door}}\n")
    assert fault.key == "things.A.by the door"
    assert "put quotes around all of it" in fault.remedy


def test_a_misspelt_key_is_not_missed_as_well() -> None:
    """A key that has to be stated and stands there in capitals is one slip, told once."""
    (fault,) = faults("Title: t\n")
    assert fault.remedy == "did you mean title?"
    (fault,) = faults("titles: t\n")
    assert fault.remedy == "did you mean title?"


def test_missing_keys_stand_at_their_group() -> None:
    """A missing key is reported on the line of the entry that lacks it, with what to write."""
    (fault,) = faults("things: {}\n")
    assert (fault.line, fault.key) == (1, "title")
    assert fault.remedy == "add title: with text after it"
    (fault,) = faults("title:\n")
    assert (fault.line, fault.key) == (1, "title")


def test_a_failing_list_is_not_also_too_short() -> None:
    """Mistakes in the only entry of a list are not echoed as a list too short."""
    assert [fault.key for fault in faults("title: t\nsteps: [{sockets: 0}]\n")] == [
        "steps[1].sockets"
    ]
    (fault,) = faults("title: t\nsteps: []\n")
    assert "at least 1" in fault.limit


def test_every_fault_in_one_pass_in_file_order() -> None:
    """Slips of syntax and of meaning over two files come together, sorted by place."""
    Path("g.yaml").write_text("things:\n  B: {sockets: 0}\n  B: {}\n  C: {rating_a: .inf}\n")
    found = faults("use: g.yaml\ntitle: t\nextra: 1\nthings:\n  A: {ready: on, labl: x}\n")
    assert [(fault.file, fault.line, fault.key) for fault in found] == [
        ("f.yaml", 3, "extra"),
        ("f.yaml", 5, "things.A.labl"),
        ("f.yaml", 5, "things.A.ready"),
        ("g.yaml", 2, "things.B.sockets"),
        ("g.yaml", 3, "things.B"),
        ("g.yaml", 4, "things.C.rating_a"),
    ]


def test_what_may_stand_in_an_unread_file_is_not_called_missing() -> None:
    """While a pulled-in file is unreadable, keys it may hold are not reported, others are."""
    found = faults("use: gone.yaml\nthings: {A: {sockets: 0}}\n")
    assert [fault.key for fault in found] == ["use", "things.A.sockets"]


def test_rules_over_the_whole_file_speak_for_themselves() -> None:
    """A rule of the model itself is reported with its own words on the first line."""
    (fault,) = faults("title: A\nthings: {A: {}}\n")
    assert (fault.line, fault.problem) == (1, "the title is also a thing")
    assert str(fault) == "error: f.yaml:1: the title is also a thing"


def test_values_are_shown_on_one_short_line() -> None:
    """A long text over many lines is shortened, and control characters do not reach a terminal."""
    (fault,) = faults("title: t\ntags: |\n" + "  many words\n" * 40)
    assert len(fault.value) == 60
    assert "\n" not in fault.value
    assert all(fault.value.isprintable() for fault in faults('title: "\\e[2J"\nzz: "a\\tb"\n'))


def test_a_file_with_only_file_faults_is_refused() -> None:
    """Data the model would take is still refused when its file is at fault."""
    assert len(faults("title: t\ntitle: u\n")) == 1


def test_deep_entries_do_not_crash() -> None:
    """Nesting at the limit goes through the model and comes back as faults."""
    deep = "inner: {" * 25 + "sockets: 0" + "}" * 25
    (fault,) = faults(f"title: t\nthings: {{A: {{{deep}}}}}\n")
    assert fault.limit == "at least 1"


def test_ten_thousand_entries_of_which_the_last_is_wrong() -> None:
    """In a large file the one slip is found on its line."""
    rows = "".join(f"  - {{label: {n}, near: [{n}]}}\n" for n in range(10_000))
    (fault,) = faults(f"title: t\nsteps:\n{rows}  - sockets: none\n")
    assert (fault.line, fault.key) == (10_003, "steps[10001].sockets")


def test_a_model_that_is_not_a_group_at_the_top() -> None:
    """Any pydantic model will do."""
    Path("f.yaml").write_text("a: [1, x]\n")
    assert validate(read(Path("f.yaml")), Tags) == Tags({"a": ("1", "x")})
    Path("f.yaml").write_text("a: 1\n")
    with pytest.raises(InputError, match="must be a list"):
        validate(read(Path("f.yaml")), Tags)


def test_annotations_with_notes_that_cannot_be_hashed() -> None:
    """What a field carries beside its type does not matter."""

    class Noted(BaseModel):
        label: Annotated[str, {"any": "note"}]
        parts: Annotated[list[Annotated[str, ["note"]]], []] = []

    Path("f.yaml").write_text("label: 20\nparts: [1.50]\n")
    assert validate(read(Path("f.yaml")), Noted) == Noted(label="20", parts=["1.50"])


def test_a_union_that_is_broken_itself() -> None:
    """A rule over a whole union, which each member alone would pass, is still one fault."""

    class Picky(Strict):
        value: Annotated[int | str, AfterValidator(_refuse)]
        other: Annotated[int | tuple[int, ...], Field(max_length=2)] = 0

    Path("f.yaml").write_text("value: 5\nother: [1, 2, 3]\n")
    with pytest.raises(InputError) as raised:
        validate(read(Path("f.yaml")), Picky)
    assert [(fault.line, fault.problem) for fault in raised.value.faults] == [
        (1, "never good"),
        (2, "too many entries"),
    ]


def _refuse(_: object) -> object:
    raise ValueError("never good")


def test_a_lax_model_still_gets_its_data() -> None:
    """Nothing here relies on the strictness of the model."""

    class Lax(BaseModel):
        anything: Any
        sets: set[int] = set()

    Path("f.yaml").write_text("anything: {a: [1, x, on]}\nsets: [1, 2]\n")
    made = validate(read(Path("f.yaml")), Lax)
    assert made == Lax(anything={"a": [1, "x", "on"]}, sets={1, 2})
