"""The farm told as a whole: a year on one page, what the rest was worth, the farm's book for whoever takes over."""
