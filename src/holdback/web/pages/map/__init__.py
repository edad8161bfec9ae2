"""The founders' map: outlines, grouping of places, the drawing and its words."""
