"""``<td>02</td><td>00</td>``: octets, or rows of them, between the tags of a markup."""

import re

from framecheck.reading._notation import Notation

TAGGED = Notation(
    "tags around octets",
    "</",
    re.compile(
        r"(?<=[0-9A-Fa-f]{2})</[A-Za-z][A-Za-z0-9]{0,20}>(?:<[A-Za-z][^<>]{0,40}>)?"
        r"|<[A-Za-z][A-Za-z0-9]{0,20}>(?=[0-9A-Fa-f]{2}[ <])"
    ),
    "<o>02</o><o>00</o><o>5e</o><o>10</o><o>00</o><o>01</o><o>02</o><o>00</o><o>5e</o><o>10</o>"
    "<o>00</o><o>02</o><o>08</o><o>06</o>",
    r"(?:>[0-9A-Fa-f]{2}</[A-Za-z0-9]{1,20}>(?:<[A-Za-z][^<>]{0,40}>)?){1}",
)
