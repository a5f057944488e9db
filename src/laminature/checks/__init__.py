"""Checks: what the maker should know about the whole before cutting. A file per family of finding."""
