"""Models become a Collection here and nowhere else."""
