"""What the owner gave leave for before the day: switching breakers off, and for how long."""

from typing import Annotated

from pydantic import Field

from spreadload.job.base import Stated, Text


class Leave(Stated):
    """Leave for tracing.

    Attributes:
        switching: Whether any breaker may be switched off at all.
        breakers: The only breakers and RCDs that may be; every one when left away. An RCD's button
            is covered when it is named itself, or every breaker behind it is.
        may_lose_min: For how long a load that must stay on may lose its power [min]; 0 means never.
    """

    switching: bool = True
    breakers: tuple[Text, ...] = ()
    may_lose_min: dict[Text, Annotated[float, Field(ge=0, le=1440)]] = {}
