"""The work table in the browser: a server on this computer alone, and the page that it hands out.

How the two talk stands in ``docs/worktable.md``. Only ``laminature open`` imports this package.
"""
