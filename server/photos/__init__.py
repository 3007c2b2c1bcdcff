"""The photos of each farm, kept by the SHA-256 of their bytes."""
