"""The day: set-ups in order, each with its window, its heads and what else is on."""

from pydantic import Field

from spreadload.job.base import ClockTime, Count, Stated, Text

Places = Text | tuple[Text, ...] | dict[Text, Count]


class Setup(Stated):
    """One camera position with its lighting.

    ``heads`` says where the units of each kind stand: one place, a list with a place per unit, or a
    count per place. ``on`` names departments' and house loads that run, as a list or with counts.
    """

    id: Text
    name: Text = ""
    from_: ClockTime | None = Field(default=None, alias="from")
    to: ClockTime | None = None
    heads: dict[Text, Places] = {}
    on: tuple[Text, ...] | dict[Text, Count] = ()
    may_swap_with: tuple[Text, ...] = ()
    note: Text = ""
