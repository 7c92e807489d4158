"""fieldplan: plan a photographic shoot on location, in a terminal, offline."""

__version__ = "0.1.0"
