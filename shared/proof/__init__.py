"""The check of an exported book, for anyone, with no server.

It proves that nothing was removed or changed since a seal that somebody else holds. It does not prove that an
entry is true, nor that the server showed all that it got.
"""
