"""Property tests draw afresh on a person's machine, and the same examples every time in the automatic check."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("fresh", deadline=None)
settings.load_profile("steady" if os.environ.get("CI") else "fresh")
