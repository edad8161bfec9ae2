"""The web site: a local Django project around the engine."""
