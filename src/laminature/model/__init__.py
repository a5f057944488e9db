"""The nouns: frozen values that the stages hand to each other. Nothing here computes a piece."""
