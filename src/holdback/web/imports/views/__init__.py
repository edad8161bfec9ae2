"""Pages of import and export."""
