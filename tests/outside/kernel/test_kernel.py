"""Our fate is that which real hosts give a frame, but for differences that are explained.

The hosts are the kernel of a common server system and a small embedded stack; what they did with
each frame is in ``vectors/kernel``, made by ``make.py`` there. A few frames are also shown to the
hosts of this machine, where it has them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable

import pytest

from framecheck.judging import rule_named
from tests.outside.kernel import hosts
from tests.outside.kernel.compare import Compared, compare
from tests.outside.kernel.damages import FAMILIES
from tests.outside.kernel.explained import CLASSES
from tests.outside.kernel.table import HOSTS, read, stored

ASKED: dict[str, Callable[[Iterable[bytes]], tuple[str, ...] | None]] = {
    "kernel": hosts.kernel,
    "small": hosts.small,
}
LIVE = [
    f
    for f in stored()
    if f.family in ("recorded", "checksum", "cut", "flipped", "wrong-word")
    and f.octets[12:14] in (b"\x08\x00", b"\x86\xdd")
][::6]
"""Frames with which hosts of other versions deal alike."""


@pytest.fixture(scope="module", params=HOSTS)
def found(request: pytest.FixtureRequest) -> tuple[str, list[Compared]]:
    """A host and all frames, compared."""
    return request.param, list(compare(request.param, stored(), read(request.param)))


def unexplained(found: Iterable[Compared]) -> list[str]:
    return [c.says for c in found if not c.agrees and c.explained is None]


def test_every_family_and_every_rule_was_shown():
    shown = Counter(f.family for f in stored())
    assert sum(shown.values()) >= 3000
    assert set(shown) >= {*FAMILIES, "recorded", "rule", "directed", "one-field"}
    assert min(shown[family] for family in FAMILIES) >= 100


def test_a_difference_is_explained(found):
    assert unexplained(found[1]) == []


def test_every_explanation_is_needed(found):
    host, compared = found
    used = {c.explained.name for c in compared if c.explained is not None}
    assert used == {c.name for c in CLASSES if host in c.hosts}


def test_most_frames_need_no_explanation_and_their_end_is_known(found):
    """What the traces leave open proves little: it must stay the smaller part."""
    agreeing = [c for c in found[1] if c.agrees]
    exact = [c for c in agreeing if len(c.ends) == 1]
    assert len(agreeing) > 0.6 * len(found[1])
    assert len(exact) > 0.55 * len(agreeing)


def test_a_rule_names_the_hosts_that_let_it_pass(found):
    silent = {
        c.ours.fate.rule
        for c in found[1]
        if c.explained is not None
        and c.explained.lenient
        and c.ours.fate.rule is not None
        and not rule_named(c.ours.fate.rule).lenient
    }
    assert silent == set()


@pytest.mark.parametrize("host", HOSTS)
def test_the_hosts_of_this_machine_do_the_same(host):
    known = dict(zip(stored(), read(host), strict=True))
    seen = ASKED[host](f.octets for f in LIVE) or [known[f] for f in LIVE]
    assert unexplained(compare(host, LIVE, seen)) == []
