"""Requirements: what logs must hold, as a TOML file states it; read, judged, and first written.

A file says which kinds of frames must be seen and how many, how many may be damaged or undecided,
how long the shortest and the longest must be, which rules are allowed or raised and which law is
known, each of these with a reason and an end date.
"""

from framecheck.requirements.draft import draft
from framecheck.requirements.judge import Requirements
from framecheck.requirements.kinds import kinds_of
from framecheck.requirements.table import read

__all__ = ["Requirements", "draft", "kinds_of", "read"]
