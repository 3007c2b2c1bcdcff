"""The server over HTTP, by requests."""
