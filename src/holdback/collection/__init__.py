"""The boundary: records, estimates and their checks; the engine takes nothing else."""
