"""Sheets and collection folders come in step by step; the whole collection goes out."""
