"""The exact oracle: random workrooms, their least peak, and what the planner makes of them."""
