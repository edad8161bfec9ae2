"""PostgreSQL for the tests."""
