"""W6, W7: a push and its answer as bytes."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import BadFrame, TooLarge, Unsound
from shared.sync.chain import NO_HEAD
from shared.wire import lines, push
from shared.words.moment import Moment

PHONE = "01890a5d-ac96-774b-bcce-b302099a8057"


def frame_line(count: int, **changed: object) -> bytes:
    tree = {
        "phone": PHONE,
        "first": 1,
        "prev": NO_HEAD,
        "count": count,
        "sent_at": "2026-07-02T08:00:00-04:00",
        "boot": None,
        "mono_ms": None,
    }
    return json.dumps(tree | changed).encode() + b"\n"


def test_W6_lines_split_on_line_feeds_alone():
    tricky = '{"text":"a\u2028b\u0085c"}'.encode()
    frame, came = push.read_push(frame_line(2) + tricky + b"\n" + b"x\ry\n")
    assert [one.raw for one in came] == [tricky, b"x\ry"]
    assert [one.line for one in came] == [1, 2]
    assert frame.count == 2


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"\n",
        frame_line(1),
        frame_line(1) + b"{}",
        frame_line(2) + b"{}\n",
        frame_line(0) + b"{}\n",
        frame_line(1, first=0) + b"{}\n",
        frame_line(1, prev="zz") + b"{}\n",
        frame_line(1, colour=1) + b"{}\n",
        b"{}\n{}\n",
    ],
)
def test_W6_a_push_whose_lines_cannot_be_counted_is_a_bad_frame(body):
    with pytest.raises(BadFrame):
        push.read_push(body)


@given(st.integers(1, 400))
def test_W7_a_body_cut_short_anywhere_is_a_bad_frame(cut):
    body = frame_line(2) + b'{"text":"one"}\n{"text":"two"}\n'
    with pytest.raises(BadFrame):
        push.read_push(body[: len(body) - 1 - cut % (len(body) - 1)])


def test_W6_over_500_lines_or_1_MiB_is_too_large():
    with pytest.raises(TooLarge):
        push.read_push(frame_line(501) + b"{}\n" * 501)
    with pytest.raises(TooLarge):
        push.read_push(frame_line(1) + b" " * 1_048_576 + b"\n")


def test_W6_a_line_that_stays_comes_as_its_sha_and_size():
    _, (came,) = push.read_push(frame_line(1) + b'{"stays":"' + b"ab" * 32 + b'","bytes":70000}\n')
    assert (came.sha, came.raw, came.size) == ("ab" * 32, None, 70_000)


def test_W6_a_push_that_the_phone_wrote_is_read_as_it_was_meant():
    from uuid import UUID

    frame = push.Frame(UUID(PHONE), 7, "ab" * 32, 2, Moment("2026-07-02T08:00:00Z", None), None, 12)
    stays = push.Stays("cd" * 32, 70_000)
    read, came = push.read_push(push.push_bytes(frame, [b'{"a":1}', stays]))
    assert (read.first, read.prev, read.count, read.mono_ms) == (7, "ab" * 32, 2, 12)
    assert (came[0].sha, came[1].sha) == (lines.sha(b'{"a":1}'), "cd" * 32)


def test_W6_the_digest_is_that_of_RFC_9530():
    """The example of RFC 9530, appendix D.1: the content is {"hello": "world"} and a line feed."""
    body = b'{"hello": "world"}\n'
    assert push.content_digest(body) == "sha-256=:RK/0qy18MlBSVnWgjwz6lZEWjP/lF5HF9bvEF8FabDg=:"
    assert push.digest_agrees(push.content_digest(body), body)
    assert push.digest_agrees("sha-512=:AAAA:, " + push.content_digest(body), body)
    assert not push.digest_agrees(push.content_digest(body), body + b" ")
    assert not push.digest_agrees(None, body)
    assert not push.digest_agrees("sha-512=:AAAA:", body)


def test_W7_an_answer_comes_back_as_it_went_and_half_of_one_is_refused():
    answer = push.PushAnswer(
        (
            push.LineResult(1, "kept", number=9),
            push.LineResult(2, "already", was="held", code="float", number=3),
        ),
        2,
        "ab" * 32,
        0,
        Moment("2026-07-02T08:00:00.000Z", None),
        -1200,
    )
    tree = json.loads(json.dumps(push.answer_tree(answer)))
    assert tree["results"][0] == {"line": 1, "outcome": "kept", "number": 9}
    again = push.read_answer(tree)
    assert again.results == answer.results
    del tree["head"]
    with pytest.raises(Unsound):
        push.read_answer(tree)
