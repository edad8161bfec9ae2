"""The same answers as the commands, as a documented JSON API."""
