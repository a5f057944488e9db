"""What the maker wrote: read with the place of every error, written back, begun and described."""
