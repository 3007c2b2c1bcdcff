"""What phones speak to."""
