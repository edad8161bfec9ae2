"""The drawing of a pedigree: what is drawn, where it stands, how it is shaded, and the same in words."""
