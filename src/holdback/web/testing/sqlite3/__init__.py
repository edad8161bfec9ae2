"""SQLite for the tests."""
