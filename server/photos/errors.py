"""Why a photo, or a piece of one, is not taken. The entry that names it stands all the same."""

from __future__ import annotations

from shared.errors import GoodgroundError


class PhotoRefused(GoodgroundError):
    code = "photo_refused"


class PhotoUnknown(PhotoRefused):
    """Nothing of this photo was ever announced here."""

    code = "photo_unknown"


class PhotoTooLarge(PhotoRefused):
    """A photo, or a piece of one, over what may be."""

    code = "photo_too_large"

    def __init__(self, size: int, most: int) -> None:
        self.size = size
        self.most = most
        super().__init__(size, most)


class PhotoQuota(PhotoRefused):
    """This phone has sent as much as one phone may."""

    code = "photo_quota"

    def __init__(self, most: int) -> None:
        self.most = most
        super().__init__(most)


class WrongOffset(PhotoRefused):
    """A piece that does not begin where the last one ended."""

    code = "wrong_offset"

    def __init__(self, offset: int) -> None:
        self.offset = offset
        super().__init__(offset)


class WrongHash(PhotoRefused):
    """A piece, or the whole, whose hash is another than was said. A whole one goes; a piece was not taken."""

    code = "wrong_hash"


class NotAPicture(PhotoRefused):
    """Whole and with the right hash, but neither JPEG nor PNG nor WebP by what is in it."""

    code = "not_a_picture"


class BadUpload(PhotoRefused):
    """A request that says what is needed wrongly or not at all."""

    code = "bad_upload"

    def __init__(self, detail: str) -> None:
        self.detail = detail
        super().__init__(detail)
