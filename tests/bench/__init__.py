"""Measured figures: how near, how soon."""
