"""Property tests draw the same examples every run, unless asked to look further.

A test that fails once in a hundred runs stops people who changed something else. Set
``FRAMECHECK_EXPLORE`` to draw new examples; what that finds becomes an explicit example.
"""

import os

from hypothesis import HealthCheck, settings

# No test may fail because the machine is busy.
_CALM = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow]}
settings.register_profile("steady", derandomize=True, **_CALM)
settings.register_profile("explore", derandomize=False, **_CALM)
settings.load_profile("explore" if os.environ.get("FRAMECHECK_EXPLORE") else "steady")
