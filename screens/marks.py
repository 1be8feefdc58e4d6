"""Marks that several screens and commands draw."""

PACKED = "×"
"""Packed: a cross-stitch."""
UNPACKED = "·"
"""Not packed yet."""
