"""The answers of the commands as plain text, one command a module."""
