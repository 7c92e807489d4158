"""How the trade reads and writes numbers. Imports nothing else of the project."""
