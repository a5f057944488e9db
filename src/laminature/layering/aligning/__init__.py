"""What holds the layers of a part in line while they are glued: pins, keys, a carrier."""
