"""The addresses of version 1."""

from django.urls import path, re_path

from server.api.v1 import photos, reading, views

urlpatterns = [
    path("hello/", views.HelloView.as_view(), name="hello"),
    path("enrol/", views.EnrolView.as_view(), name="enrol"),
    path("enrol/again/", views.EnrolAgainView.as_view(), name="enrol-again"),
    path("token/", views.TokenView.as_view(), name="token"),
    path("entries/", views.EntriesView.as_view(), name="entries"),
    path("changes/", views.ChangesView.as_view(), name="changes"),
    path("book/", views.BookView.as_view(), name="book"),
    path("photos/", photos.PhotosView.as_view(), name="photos"),
    re_path("photos/(?P<sha256>[0-9a-f]{64})/?$", photos.PhotoView.as_view(), name="photo"),
    path("fields/", reading.FieldsView.as_view(), name="read-fields"),
    path("registers/", reading.RegistersView.as_view(), name="read-registers"),
    path("registers/<slug:name>/", reading.RegisterView.as_view(), name="read-register"),
    re_path("", views.NowhereView.as_view()),
]
