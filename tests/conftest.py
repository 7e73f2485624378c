"""Property tests draw the same examples every run, unless asked to look further.

A test that fails once in a hundred runs stops people who changed something else. Set
``FRAMECHECK_EXPLORE`` to draw new examples; what that finds becomes an explicit example.
"""

import os

from hypothesis import settings

settings.register_profile("steady", derandomize=True)
settings.register_profile("explore", derandomize=False)
settings.load_profile("explore" if os.environ.get("FRAMECHECK_EXPLORE") else "steady")
