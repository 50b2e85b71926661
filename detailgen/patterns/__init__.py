"""Patterns: faces of a building developed into flat pieces, with cuts, folds and zones."""
