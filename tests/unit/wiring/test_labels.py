"""What part of the house a label names, on boards as they are written.

The words are common practice, no source.
"""

import pytest

from builders import job_of, setup
from spreadload.job.job import Job
from spreadload.job.site import Room
from spreadload.wiring.labels import label_rooms
from spreadload.wiring.maps import maps_of
from spreadload.wiring.model import WiringModel

ROOMS = {
    "lounge": {"use": "living"},
    "kitchen": {"use": "kitchen"},
    "bed 1": {"use": "bedroom", "floor": "1"},
    "bed 2": {"use": "bedroom", "floor": "1"},
    "cellar": {"use": "workshop", "floor": "-1"},
}


def house(region: str, *labels: str, rooms: dict[str, dict[str, str]] = ROOMS) -> Job:
    """Return a house, of five rooms on three floors unless told, with one way for each label."""
    return job_of(
        {
            "region": region,
            "circuits": {
                f"C{n}": {"label": label, "breaker_a": 16.0, "feeds": "outlets"}
                for n, label in enumerate(labels, 1)
            },
            "rooms": rooms,
            "outlets": {f"in {room}": {"room": room} for room in rooms},
            "setups": [setup()],
        }
    )


def named(region: str, *labels: str) -> dict[str, set[str]]:
    """Return the rooms each label names."""
    job = house(region, *labels)
    return {c: set(rooms) for c, rooms in label_rooms(job, tuple(job.circuits)).items()}


UP, DOWN = {"bed 1", "bed 2"}, {"lounge", "kitchen"}


@pytest.mark.parametrize(
    ("region", "label", "rooms"),
    [
        ("UK", "Ring first", UP),
        ("UK", "Sockets 1st floor", UP),
        ("AU", "GPO UPSTAIRS", UP),
        ("UK", "Ring ground", DOWN),
        ("NZ", "plugs GF", DOWN),
        ("US", "1ST FLR REC", DOWN),
        ("US", "2nd floor plugs", UP),
        ("JP", "2F", UP),
        ("JP", "1階コンセント", DOWN),
        ("EU", "Steckdosen OG", UP),
        ("EU", "prises étage", UP),
        ("IT", "prese piano terra", DOWN),
        ("UK", "Basement sockets", {"cellar"}),
        ("UK", "bed 2", {"bed 2"}),
        ("UK", "beds upstairs", UP),
        ("US", "2nd floor beds", UP),
    ],
)
def test_a_floor_is_named_as_the_region_names_it(region: str, label: str, rooms: set[str]) -> None:
    """The first floor of a British board is the second of an American one."""
    assert named(region, label, "POWER")["C1"] == rooms


@pytest.mark.parametrize("label", ["POWER", "GPO 1", "", "Ring 2"])
def test_a_label_that_names_no_place_names_no_room(label: str) -> None:
    """A number is the number of a circuit unless a room is named with it."""
    assert named("UK", label, "POWER") == {}


def test_a_floor_is_what_its_other_labels_leave_of_it() -> None:
    """Beside a kitchen ring, the ring of the ground floor is not the kitchen's."""
    assert named("UK", "Ring ground", "Kitchen ring") == {"C1": {"lounge"}, "C2": {"kitchen"}}


def test_a_floor_whose_rooms_are_all_named_is_still_a_floor() -> None:
    """With nothing left over the label means the floor as a whole."""
    found = named("UK", "Ring ground", "Kitchen ring", "Lounge ring")
    assert found["C1"] == DOWN


def test_a_script_without_blanks_is_read_within_its_words() -> None:
    """“Kitchen outlets” and “upper floor bedroom” in one word each."""
    assert named("JP", "台所コンセント", "2階寝室") == {"C1": {"kitchen"}, "C2": UP}


def test_the_belief_follows_the_labels() -> None:
    """A lounge under “Ring ground” is hardly ever on the kitchen's ring."""
    model = WiringModel.of(house("UK", "Ring ground", "Kitchen ring", "Ring first"))
    chances = maps_of(model, 2000, 1).chances("in lounge")
    assert chances["C1"] > 0.7
    assert chances["C1"] > 4 * chances["C2"]


def test_a_room_is_known_by_its_short_name_too() -> None:
    """Nobody spells out ROOM on a board; common practice, no source."""
    job = house("UK", "snug + function rm", "POWER")
    rooms = job.rooms | {"function room": Room()}
    wider = job.model_copy(update={"rooms": rooms})
    assert label_rooms(wider, ("C1",)) == {"C1": frozenset({"function room"})}


PARLOURS = {
    "living": {"use": "living"},
    "family room": {"use": "living", "floor": "0"},
    "den": {"use": "living"},
    "kids": {"use": "bedroom"},
    "master": {"use": "bedroom"},
    "patio": {"use": "outside"},
    "yard": {"use": "outside"},
    "kitchen": {"use": "kitchen"},
    "scullery": {"use": "pantry"},
}


@pytest.mark.parametrize(
    ("label", "rooms"),
    [
        ("FAM RM", {"family room"}),
        ("LIV RM", {"living"}),
        ("lounge", {"living"}),
        ("DEN / PATIO", {"den", "patio"}),
        ("RUMPUS", {"family room"}),
        ("theatre", {"living", "family room", "den"}),
        ("BEDRMS", {"kids", "master"}),
        ("MASTER", {"master"}),
        ("EXT", {"patio", "yard"}),
        ("KITCHEN", {"kitchen", "scullery"}),
    ],
)
def test_of_several_rooms_of_one_use_a_label_means_the_one_called_so(
    label: str, rooms: set[str]
) -> None:
    """A den is no family room, whatever both are for; a word for all of them still means them all.

    A theatre that no room is called after may be any room to live in.
    """
    job = house("US", label, "GARAGE", rooms=PARLOURS)
    assert set(label_rooms(job, tuple(job.circuits))["C1"]) == rooms
