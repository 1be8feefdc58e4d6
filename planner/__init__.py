"""The planner: everything wearby works out, without a screen.

Planning is a pure function of (workroom, ensembles, diary, now). Nothing here reads the
clock, and nothing here imports ``screens``, Textual or Rich.
"""
