"""Typed questions and helps that open above a screen."""
