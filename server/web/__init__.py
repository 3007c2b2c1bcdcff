"""The manager's pages: templates, a little script where it helps, nothing from outside the server."""
