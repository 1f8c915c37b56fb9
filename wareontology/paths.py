"""Where data and shapes lie, in an installed package or in a checkout."""

from pathlib import Path

_package = Path(__file__).resolve().parent


def _folder(name: str) -> Path:
    inside = _package / name
    return inside if inside.is_dir() else _package.parent / name


def data(*parts: str) -> Path:
    """Path of a file in data/.

    >>> data("vocabulary.ttl").name
    'vocabulary.ttl'
    """
    return _folder("data").joinpath(*parts)


def shapes(*parts: str) -> Path:
    """Path of a file in shapes/.

    >>> shapes("rules.ttl").name
    'rules.ttl'
    """
    return _folder("shapes").joinpath(*parts)
