"""How far two fingerprints are apart; apart from their making, which loads NumPy and OpenCV."""


def hamming(first: int, second: int) -> int:
    """Bits that differ between two signed 64-bit fingerprints, 0 to 64."""
    return ((first ^ second) & 0xFFFF_FFFF_FFFF_FFFF).bit_count()
