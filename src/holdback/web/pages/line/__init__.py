"""Plans for a line: who of it should breed, and carrying a gene into it."""
