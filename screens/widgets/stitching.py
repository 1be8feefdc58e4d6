"""A running stitch: the dashed rule that parts regions."""

from __future__ import annotations

from textual.content import Content
from textual.widget import Widget


class Stitching(Widget):
    """Dashes across, or down where it is higher than wide."""

    def render(self) -> Content:
        """As many dashes as there is room for."""
        size = self.size
        if size.height > size.width:
            return Content("\n".join("╎" * size.height))
        return Content("╌" * size.width)
