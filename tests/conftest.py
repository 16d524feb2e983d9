"""No test of any room fails for a slow machine alone."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile("bench", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("bench")
