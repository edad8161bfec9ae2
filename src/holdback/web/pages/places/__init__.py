"""Rooms, racks, tubs, incubators and boxes: what there is, who is in it, how an animal is moved."""
