from tests.server.web.conftest import ground, now, owner, phone, yard  # noqa: F401
