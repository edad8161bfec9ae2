"""Open the pages on a phone, and end what was opened."""
