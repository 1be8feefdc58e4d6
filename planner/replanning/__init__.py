"""Two plans compared: which minutes went to other days, what became of each step, and why."""
