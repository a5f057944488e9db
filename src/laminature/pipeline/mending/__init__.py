"""Changes that certainly mend what a check found: thought of by its code, tried before they are offered."""
