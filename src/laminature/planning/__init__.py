"""Planning: the order of assembly, the evenings at the bench, and what to buy."""
