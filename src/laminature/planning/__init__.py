"""Planning: in which order a piece is put together."""
