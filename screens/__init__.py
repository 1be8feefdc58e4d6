"""What the maker sees: the command line and the Textual program, over ``planner``."""
