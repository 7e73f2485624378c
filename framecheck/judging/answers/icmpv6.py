"""An echo reply repeats all of its request but the type (RFC 4443 4.2)."""

from framecheck.core.finding import rfc
from framecheck.judging._answers import Answer
from framecheck.judging._echo import repeated

ICMPV6 = Answer(rfc(4443, "4.2"), repeated)
