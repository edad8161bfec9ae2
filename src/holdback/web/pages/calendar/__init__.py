"""The season for a calendar program."""
