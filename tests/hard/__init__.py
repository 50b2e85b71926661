"""Malformed and extreme inputs: how they are made, run and judged."""
