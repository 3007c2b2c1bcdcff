"""The usual way to take many rows with the REST framework: a ModelSerializer with ``many=True`` whose list is made by
``bulk_create``. It keeps the columns that a row of the book has, checks them, and does nothing else of the contract."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import Any
from uuid import UUID


def view(farm: UUID) -> Callable[[Any], None]:
    """A view on a table of its own, in the same file as the book."""
    from django.db import connection, models
    from rest_framework import generics, parsers, serializers

    class StockLine(models.Model):
        id = models.UUIDField(primary_key=True)
        kind = models.CharField(max_length=20)
        made_at = models.DateTimeField()
        by = models.UUIDField()
        field = models.UUIDField(null=True)
        round = models.UUIDField(null=True)
        stop = models.IntegerField(null=True)
        at = models.JSONField(null=True)
        body = models.JSONField()

        class Meta:
            app_label = "book"
            db_table = "bench_stock"
            indexes = (models.Index(fields=("field", "made_at"), name="bench_stock_field"),)

    class Several(serializers.ListSerializer):
        def create(self, validated_data: list[dict[str, Any]]) -> list[Any]:
            return StockLine.objects.bulk_create([StockLine(**one) for one in validated_data])

    class OfLine(serializers.ModelSerializer):
        class Meta:
            model = StockLine
            fields = ("id", "kind", "made_at", "by", "field", "round", "stop", "at", "body")
            list_serializer_class = Several

    class Lines(generics.CreateAPIView):
        queryset = StockLine.objects.all()
        serializer_class = OfLine
        authentication_classes = ()
        parser_classes = (parsers.JSONParser,)

        def get_serializer(self, *args: Any, **kwargs: Any) -> Any:
            return super().get_serializer(*args, many=True, **kwargs)

    with connection.schema_editor() as editor:
        editor.create_model(StockLine)
    from django.db import transaction

    act = transaction.atomic(Lines.as_view())

    def take(one: Any) -> None:
        answer = act(one).render()
        assert answer.status_code == 201, answer.content

    return take


def request(raws: Sequence[bytes]) -> Any:
    from rest_framework.test import APIRequestFactory

    body = json.dumps([json.loads(one) for one in raws])
    return APIRequestFactory().post("/", body, content_type="application/json")
