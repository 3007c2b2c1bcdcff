"""The root of a seal: a Merkle tree hash as RFC 6962, section 2.1, defines it."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence


def leaf_hash(leaf: bytes) -> bytes:
    """The hash of one leaf: SHA-256 of 0x00 and the leaf."""
    return hashlib.sha256(b"\x00" + leaf).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """The hash of an inner node: SHA-256 of 0x01 and both sides."""
    return hashlib.sha256(b"\x01" + left + right).digest()


def root(leaves: Sequence[bytes]) -> str:
    """The tree hash over these leaves, as hex; of none it is the SHA-256 of nothing.

    The tree is built from the left: whole pairs are joined level by level and a last odd node moves up
    unchanged, which is the same tree as splitting at the largest power of two.
    """
    if not leaves:
        return hashlib.sha256(b"").hexdigest()
    level = [leaf_hash(one) for one in leaves]
    while len(level) > 1:
        joined = [node_hash(left, right) for left, right in zip(level[::2], level[1::2], strict=False)]
        level = joined + level[len(joined) * 2 :]
    return level[0].hex()
