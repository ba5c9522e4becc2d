"""Property tests draw afresh on a person's machine, and the same examples every time in the automatic check.

``HYPOTHESIS_PROFILE=long`` looks at 4 000 examples where a test says no number of its own.

What the tests read is kept in a folder of their own, made anew for every run.
"""

from __future__ import annotations

import os
from tempfile import mkdtemp

from hypothesis import settings

os.environ["SWAPWRIGHT_CACHE"] = mkdtemp(prefix="kept-")

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("fresh", deadline=None)
settings.register_profile("long", max_examples=4_000, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE") or ("steady" if os.environ.get("CI") else "fresh"))
