"""A sign of life on a terminal when something takes longer than a second."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Thread
from time import monotonic

FIRST = 1.0


@contextmanager
def waiting(what: str, first: float = FIRST) -> Iterator[None]:
    """Say on a terminal what is going on and for how long already, from ``first`` seconds on.

    The line is taken away again before anything else is written; where stderr is no terminal nothing is written.
    """
    if not sys.stderr.isatty():
        yield
        return
    over, start = Event(), monotonic()

    def tell() -> None:
        shown = False
        while not over.wait(first):
            sys.stderr.write(f"\r{what} ... {monotonic() - start:.0f} s")
            sys.stderr.flush()
            shown = True
        if shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()

    thread = Thread(target=tell, daemon=True)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()
