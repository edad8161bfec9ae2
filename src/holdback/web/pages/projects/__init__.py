"""Projects: the goals that a keeper works towards."""
