"""Daily lows, highs and rain: typed, from a file in the GHCN-Daily form, or fetched from a station service."""
