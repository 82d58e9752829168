"""What changes cost in money, minutes and light, so that offers can be ranked.

Every default is common practice, no source: orders of magnitude for a small unit, meant to be
replaced by the job's own figures. Money is in the job's own currency.
"""

from typing import Annotated

from pydantic import Field

from spreadload.job.base import Stated, Text

Money = Annotated[float, Field(ge=0, le=1_000_000)]
Delay = Annotated[float, Field(ge=0, le=1440)]


class Costs(Stated):
    """Prices of changes; an offer's price is money, plus minutes, plus light lost.

    Attributes:
        currency: Sign or word shown before amounts.
        minute: What a minute of the day costs.
        light_per_100_w: What 100 W of light lost cost on a head of priority 9; one priority higher
            costs once more, so a head of priority 1 costs nine times this.
        dark_factor: How many times dearer a head left dark is than as much light lost by a swap.
    """

    currency: Text = ""
    minute: Money = 20.0
    light_per_100_w: Money = 10.0
    dark_factor: Annotated[float, Field(ge=1, le=100)] = 6.0
    ballast: Money = Field(default=60.0, description="hiring a corrected ballast")
    ballast_min: Delay = Field(default=5.0, description="fitting it")
    swap: Money = Field(default=0.0, description="a head from the stock on the van")
    swap_min: Delay = Field(default=10.0, description="rigging it in place of another")
    battery: Money = Field(default=80.0, description="hiring a battery power station")
    battery_min: Delay = 10.0
    battery_max_w: Money = Field(default=600.0, description="most watts it can run for a set-up")
    move_min: Delay = Field(default=45.0, description="a department moves to another room")
    retime_min: Delay = Field(default=20.0, description="a department does it in another set-up")
    reorder_min: Delay = Field(default=45.0, description="two set-ups change places in the day")
    turns_min: Delay = Field(default=15.0, description="two heat-makers take turns")
    off_min: Delay = Field(default=60.0, description="a department does without in a set-up")
    agreed_off_min: Delay = Field(default=1.0, description="switching off what may be off")
    last_resort_min: Delay = Field(default=12.0, description="a head on a last-resort outlet")
    leave_min: Delay = Field(default=30.0, description="asking the owner for leave")
    lead: Money = Field(default=15.0, description="hiring one more lead or power board")
    lead_min: Delay = 2.0
    generator: Money = Field(default=150.0, description="hiring a small generator, with fuel")
    generator_per_kva: Money = 25.0
    generator_min: Delay = Field(default=60.0, description="placing it out of earshot, earthing")
    electrician: Money = Field(default=400.0, description="one outlet on a way of its own")
    electrician_min: Delay = 60.0
