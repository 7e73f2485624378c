"""The shortest edit between two octet strings, with its path, by bit vectors.

Each column of the table of distances is two integers: where it goes up and where it goes down from
one row to the next (Myers, "A Fast Bit-Vector Algorithm for Approximate String Matching Based on
Dynamic Programming", 1999, in the form for a whole distance by Hyyrö, "A Bit-Vector Algorithm for
Computing Levenshtein and Damerau Edit Distances", 2003). One octet of the second string costs a few
operations on integers as long as the first, so that 1,514 octets take some milliseconds.
"""

from __future__ import annotations


def path(received: bytes, sent: bytes) -> list[tuple[int, int, int]]:
    """Blocks (received offset, sent offset, count) of a shortest edit, ascending.

    Insertion, loss and exchange of an octet count one each. Among ways of equal length, octets
    in the place of others are preferred to losses and insertions.
    """
    ups, downs = _columns(received, sent)
    blocks: list[tuple[int, int, int]] = []
    i, j, count = len(received), len(sent), 0
    while i and j:
        bit = 1 << (i - 1)
        up = bool(ups[j] & bit)  # from row i - 1 to row i in column j: one more
        left_up = bool(ups[j - 1] & bit)
        left_down = bool(downs[j - 1] & bit)
        if received[i - 1] == sent[j - 1]:
            i, j, count = i - 1, j - 1, count + 1
            continue
        # The distance in column j - 1 at row i - 1, held against its neighbours.
        across = _across(ups, downs, i, j)
        here = across + (1 if left_up else -1 if left_down else 0)
        if here == 1:  # an exchange is on a shortest way
            i, j, count = i - 1, j - 1, count + 1
            continue
        blocks += [(i, j, count)] if count else []
        count = 0
        if up:
            i -= 1
        else:
            j -= 1
    blocks += [(i, j, count)] if count else []
    return blocks[::-1]


def _columns(received: bytes, sent: bytes) -> tuple[list[int], list[int]]:
    """Up and down steps of every column, the first included."""
    where: dict[int, int] = {}
    for i, octet in enumerate(received):
        where[octet] = where.get(octet, 0) | 1 << i
    mask = (1 << len(received)) - 1
    up, down = mask, 0
    ups, downs = [up], [down]
    for octet in sent:
        equal = where.get(octet, 0)
        diagonal = (((equal & up) + up) ^ up) | equal | down
        plus = down | ~(diagonal | up)
        minus = up & diagonal
        plus = (plus << 1 | 1) & mask
        minus = (minus << 1) & mask
        up = (minus | ~(diagonal | plus)) & mask
        down = plus & diagonal
        ups.append(up)
        downs.append(down)
    return ups, downs


def _across(ups: list[int], downs: list[int], i: int, j: int) -> int:
    """Distance at (i, j) minus distance at (i, j - 1)."""
    below = (1 << i) - 1
    return (
        1
        + (ups[j] & below).bit_count()
        - (downs[j] & below).bit_count()
        - (ups[j - 1] & below).bit_count()
        + (downs[j - 1] & below).bit_count()
    )
