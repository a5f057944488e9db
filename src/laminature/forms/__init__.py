"""Kinds of furniture, a file each: from sizes and real stack thickness to parts in space."""
