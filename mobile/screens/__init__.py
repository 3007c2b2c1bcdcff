"""One screen a file, its layout in the kv of the same stem. A screen knows no rule and words no sentence."""
