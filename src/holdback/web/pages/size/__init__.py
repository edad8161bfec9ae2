"""What pages say of sizes: of an animal, the biggest, a line, a clutch, the young of a pair."""
