"""The keeper's own rules, and places for eggs."""
