from django.apps import AppConfig


class Reading(AppConfig):
    name = "server.reading"
    label = "reading"
