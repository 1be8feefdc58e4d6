"""From a kind of garment and a few answers to steps with hours, in order, with their stock."""
