"""From the sizes of a full-size piece of furniture to sheets that can be cut."""
