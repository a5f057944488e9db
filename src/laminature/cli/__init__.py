"""The command line: what a maker types, and what they read back."""
