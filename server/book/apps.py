from django.apps import AppConfig


class BookConfig(AppConfig):
    name = "server.book"
    label = "book"
    default_auto_field = "django.db.models.BigAutoField"
