"""A source to a model, or every fault in one pass, each with its file and line.

Works for any pydantic model. Imports only its neighbours and ``errors``.
"""

from typing import TypeVar

from pydantic import BaseModel

from spreadload.errors import InputError
from spreadload.io.as_meant import as_meant
from spreadload.io.source import Source

M = TypeVar("M", bound=BaseModel)


def validate(source: Source, model: type[M]) -> M:
    """Return the source as a model.

    Args:
        source: What was read.
        model: Any pydantic model.

    Raises:
        InputError: With every fault of the files themselves and of what the model refuses.
    """
    meant = as_meant(source, model)
    if meant.valid is None or meant.faults or source.faults:
        raise InputError([*source.faults, *meant.faults])
    return meant.valid
