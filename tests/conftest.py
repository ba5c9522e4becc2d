"""Property tests draw afresh on a person's machine, and the same examples every time in the automatic check.

What the tests read is kept in a folder of their own, made anew for every run.
"""

from __future__ import annotations

import os
from tempfile import mkdtemp

from hypothesis import settings

os.environ["SWAPWRIGHT_CACHE"] = mkdtemp(prefix="kept-")

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("fresh", deadline=None)
settings.load_profile("steady" if os.environ.get("CI") else "fresh")
