"""A clutch from laying to hatchlings: its page, and writing down what happens to it."""
