"""The wire contract: the only place that knows the JSON that travels. Bytes in, values out, and back."""
