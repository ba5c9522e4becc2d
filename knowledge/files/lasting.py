"""Making a great many things that last."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """Hold Python's cycle collector still for as long as this lasts; works as a decorator too.

    While thousands of parts are made the collector would walk all of them again and again and find nothing to
    collect: that is most of the time of making them.

    >>> with uncollected():
    ...     gc.isenabled()
    False
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
