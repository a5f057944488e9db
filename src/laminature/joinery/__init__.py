"""Joints: contacts are found between parts in space, then the shared zones are given out in cells."""
