"""What the planner's answers become outside the program."""
