"""What a command gives as JSON where it has no answer: the same shape whatever went wrong."""

from __future__ import annotations

from typing import Literal

from .faults import Fault
from .shown import Model


class FailureDocument(Model):
    """Why there is no answer: ``message`` in one line, ``faults`` each with its place where something given is bad.

    A wrong option, a file that cannot be read and a limit reached have a message alone.
    """

    format: Literal["swapwright faults"] = "swapwright faults"
    version: Literal[1] = 1
    message: str
    faults: tuple[Fault, ...] = ()
