"""Species files as frozen values: genes, looks, cautions, reproduction, growth."""
