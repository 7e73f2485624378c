"""An echo reply repeats all of its request but the type (RFC 792, Echo)."""

from framecheck.core.finding import rfc
from framecheck.judging._answers import Answer
from framecheck.judging._echo import repeated

ICMP = Answer(rfc(792, "Echo or Echo Reply Message"), repeated)
