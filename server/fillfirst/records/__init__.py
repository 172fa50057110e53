"""Closed visits, written out: what was done, measured and left open, and whether the figures hold."""
