"""The nouns as frozen values, a file each."""
