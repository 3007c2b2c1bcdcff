"""Settings, addresses and the entry point of a production server."""
