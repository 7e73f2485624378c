"""Redaction: the same log with other addresses, names and payload, every verdict kept.

``redact`` reads and examines a log, gives each private value a stand-in, writes the digits anew
where they stand, and examines the outcome: what does not read as before is said.
"""

from framecheck.redaction._outcome import Redacted
from framecheck.redaction.redact import redact

__all__ = ["Redacted", "redact"]
