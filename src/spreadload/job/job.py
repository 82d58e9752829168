"""The whole job: everything the crew states, in one frozen object."""

from pydantic import Field

from spreadload.job.base import Stated, Text
from spreadload.job.costs import Costs
from spreadload.job.day import Setup
from spreadload.job.kit import DistributionBox, Head, Lead, Load, PowerBoard
from spreadload.job.leave import Leave
from spreadload.job.preferences import Rules
from spreadload.job.red_flags import RedFlag
from spreadload.job.site import Circuit, Outlet, Place, Rcd, Room, SubBoard, Supply
from spreadload.job.wiring import Wiring


class Job(Stated):
    """A site, a kit and a day.

    Ids are the keys of the mappings. Outlets, rooms and places share one name space, because a head
    may be said to stand at any of them; heads, departments' and house loads share another.
    """

    title: Text = ""
    region: Text
    supply: Supply = Supply()
    rcds: dict[Text, Rcd] = {}
    sub_boards: dict[Text, SubBoard] = {}
    circuits: dict[Text, Circuit] = Field(min_length=1)
    rooms: dict[Text, Room] = {}
    outlets: dict[Text, Outlet] = {}
    places: dict[Text, Place] = {}
    same_circuit: tuple[tuple[Text, ...], ...] = ()
    different_circuit: tuple[tuple[Text, ...], ...] = ()
    wiring: Wiring = Wiring()
    heads: dict[Text, Head] = {}
    stock: dict[Text, Head] = {}
    departments: dict[Text, Load] = {}
    house: dict[Text, Load] = {}
    leads: tuple[Lead, ...] = ()
    power_boards: tuple[PowerBoard, ...] = ()
    boxes: dict[Text, DistributionBox] = {}
    setups: tuple[Setup, ...] = Field(min_length=1)
    rules: Rules = Rules()
    costs: Costs = Costs()
    leave: Leave = Leave()
    red_flags: tuple[Text | RedFlag, ...] = ()
    note: Text = ""

    @property
    def lists_leads(self) -> bool:
        """Whether it says which leads there are; an empty list says that there are none."""
        return "leads" in self.model_fields_set

    @property
    def loads(self) -> dict[str, Load]:
        """Loads of departments, then those of the house; heads are none of them."""
        return self.departments | self.house

    def setup(self, setup_id: str) -> Setup:
        """Return a set-up.

        Raises:
            KeyError: The job has none of this id.
        """
        for each in self.setups:
            if each.id == setup_id:
                return each
        raise KeyError(setup_id)
