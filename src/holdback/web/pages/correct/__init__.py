"""Correct who an animal is: what would follow is shown first, and what followed after."""
