"""W21: the root of a seal against the test vectors published with RFC 6962 and an independent recursion."""

from __future__ import annotations

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.sync import merkle

LEAVES = [
    bytes.fromhex(text)
    for text in (
        "",
        "00",
        "10",
        "2021",
        "3031",
        "40414243",
        "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
]
"""Leaves and roots of the reference tests of the Certificate Transparency log (RFC 6962)."""
ROOTS = [
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]


def by_definition(leaves: list[bytes]) -> bytes:
    """RFC 6962, section 2.1, word for word: split at the largest power of two smaller than n."""
    if not leaves:
        return hashlib.sha256().digest()
    if len(leaves) == 1:
        return hashlib.sha256(b"\x00" + leaves[0]).digest()
    k = 1
    while k * 2 < len(leaves):
        k *= 2
    return hashlib.sha256(b"\x01" + by_definition(leaves[:k]) + by_definition(leaves[k:])).digest()


@pytest.mark.parametrize("n", range(1, 9))
def test_W21_the_roots_are_those_published_with_RFC_6962(n):
    assert merkle.root(LEAVES[:n]) == ROOTS[n - 1]


def test_W21_the_root_of_nothing_is_the_sha_256_of_nothing():
    assert merkle.root([]) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"


@given(st.lists(st.binary(max_size=20), max_size=70))
def test_W21_the_root_is_that_of_the_definition(leaves):
    assert merkle.root(leaves) == by_definition(leaves).hex()
