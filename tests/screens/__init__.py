"""Tests of what the maker sees."""
