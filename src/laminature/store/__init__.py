"""All of the user's files: read within bounds, written whole or not at all."""
