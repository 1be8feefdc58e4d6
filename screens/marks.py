"""Marks that several screens and commands draw."""

PACKED = "×"
"""Packed: a cross-stitch."""
UNPACKED = "·"
"""Not packed yet."""
BEGUN = "/"
"""Begun, and not done yet: half a cross-stitch."""
DONE = PACKED
"""Done: a cross-stitch."""
NOTHING = UNPACKED
"""Nothing done of it."""
CAME = "→"
"""Work that has come here from another day by the last change."""
