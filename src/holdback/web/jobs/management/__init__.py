"""Commands of the framework for the jobs."""
