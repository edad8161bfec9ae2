"""Read the code on a label from a photo."""
