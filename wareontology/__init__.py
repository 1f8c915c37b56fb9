"""wareontology: how a painted ware was made, read from the traits of its sherds."""

from pathlib import Path

__version__ = "0.1.0"

# In a checkout app/, shapes/ and data/ lie beside this folder; in a wheel they lie inside it.
_here = Path(__file__).resolve().parent
if not (_here / "shapes").is_dir() and (_here.parent / "app" / "__init__.py").is_file():
    __path__.append(str(_here.parent))
