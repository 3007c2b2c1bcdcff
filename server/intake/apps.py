from django.apps import AppConfig


class IntakeConfig(AppConfig):
    name = "server.intake"
    label = "intake"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from server.book.reads import read_with
        from server.intake.decoding import decode

        read_with(decode)
