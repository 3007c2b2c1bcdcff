"""Fields, parts, piles, buffers and legs, folded from desk entries; towns, haulers and their trucks."""
