"""Version 1 of the contract over HTTP: decode, call, encode."""
