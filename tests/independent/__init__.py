"""An independent reading of the rules: a checker of plans that shares no code with planner."""
