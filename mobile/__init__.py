"""The phone app."""
