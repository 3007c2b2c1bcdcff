"""The compliance logs and the farm's book as pages and files. What stands in a row is for ``shared.status`` to say."""
