"""What every test runs under."""

from __future__ import annotations

import os

from hypothesis import settings

# Machines are small and shared: a slow example is no failure. What is counted is work, not time.
settings.register_profile("patient", deadline=None)
settings.load_profile("patient")

os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
