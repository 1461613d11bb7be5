"""One setting for all property tests: repeatable, and with no deadline (a first cut compiles the kernel)."""

from hypothesis import settings

settings.register_profile("hullcalc", derandomize=True, deadline=None, database=None, max_examples=60)
settings.load_profile("hullcalc")
