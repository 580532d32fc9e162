"""Digests against the vectors of FIPS 180-4, and the order of findings."""

from __future__ import annotations

from asfound.core.fixity.digest import compute_digest, is_digest, new_hasher

ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
LONG = "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"


def test_digest_agrees_with_the_published_vectors():
    """NIST, FIPS 180-4 examples: "abc", and 448 bits."""
    assert compute_digest(b"abc") == ABC
    assert compute_digest(b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") == LONG
    hasher = new_hasher()
    hasher.update(b"a")
    hasher.update(b"bc")
    assert hasher.hexdigest() == ABC


def test_form_of_a_digest():
    assert is_digest(ABC)
    assert not is_digest(ABC.upper())
    assert not is_digest(ABC[1:])
    assert not is_digest(f"{ABC}\n")
