"""How large the product's code is, at a commit or as it lies here: `python -m benchmarks.size [COMMIT ...]`.

Product code is every `.py` file of the six folders that are installed; tests, benchmarks, assets, tables, pictures,
pages in JavaScript and the catalogues of words (`texts/*.toml`) are none. Two counts stand side by side: raw lines, and
lines of code, on which something other than a comment or a docstring stands. Modules that say words (`words.py`,
`catalogue.py`) are counted in and shown apart too, since sentences moved into them.
"""

from __future__ import annotations

import io
import subprocess
import sys
import tokenize
from pathlib import Path, PurePosixPath
from typing import NamedTuple

FOLDERS = ("cables", "coaxtell", "identifier", "models", "photo", "quiz")
ROOT = Path(__file__).parent.parent
_SILENT = {tokenize.COMMENT, tokenize.NL, tokenize.NEWLINE, tokenize.INDENT, tokenize.DEDENT, tokenize.ENCODING}


class Size(NamedTuple):
    """Files, raw lines and lines of code."""

    files: int
    raw: int
    code: int


def lines_of_code(text: str) -> int:
    """Lines of a Python file on which something other than a comment or a docstring stands."""
    held: set[int] = set()
    begins = True  # whether a statement begins with the next token
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type in _SILENT or token.type == tokenize.ENDMARKER:
            begins = begins or token.type == tokenize.NEWLINE
            continue
        # a string that begins a statement is a docstring: nothing else here is written so
        if not (begins and token.type == tokenize.STRING):
            held.update(range(token.start[0], token.end[0] + 1))
        begins = False
    return len(held)


def measure(files: dict[str, str]) -> Size:
    """The size of the product files among these texts by their path."""
    texts = [text for path, text in files.items() if is_product(path)]
    return Size(len(texts), sum(text.count("\n") for text in texts), sum(map(lines_of_code, texts)))


def is_product(path: str) -> bool:
    """Whether a path in the repository, with `/`, is product code."""
    where = PurePosixPath(path)
    return where.suffix == ".py" and where.parts[0] in FOLDERS


def says_words(path: str) -> bool:
    """Whether a module's task is to say words."""
    return PurePosixPath(path).name in ("words.py", "catalogue.py")


def at(commit: str) -> dict[str, str]:
    """Every Python file of a commit; the links inside `coaxtell/` are not followed."""
    listed = _git("ls-tree", "-r", "-z", commit).decode().split("\0")
    found = {}
    for entry in filter(None, listed):
        what, _, path = entry.partition("\t")
        mode, _, blob = what.split()
        if path.endswith(".py") and mode != "120000":
            found[path] = blob
    answer = subprocess.run(
        ["git", "cat-file", "--batch"],
        input="\n".join(found.values()).encode(),
        cwd=ROOT,
        capture_output=True,
        check=True,
    ).stdout
    texts, start = {}, 0
    for path in found:
        head, start = answer[start:].split(b"\n", 1)[0], answer.index(b"\n", start) + 1
        length = int(head.split()[2])
        texts[path] = answer[start : start + length].decode()
        start += length + 1
    return texts


def here() -> dict[str, str]:
    """Every Python file that git knows, as it lies here."""
    listed = _git("ls-files", "-z", "--cached", "--others", "--exclude-standard", "*.py").decode().split("\0")
    paths = [path for path in listed if path and (ROOT / path).is_file()]
    return {path: (ROOT / path).read_text(encoding="utf-8") for path in paths}


def _git(*words: str) -> bytes:
    return subprocess.run(["git", *words], cwd=ROOT, capture_output=True, check=True).stdout


def main(commits: list[str]) -> int:
    """Print a row for each commit, and one for the tree as it lies here."""
    print(f"{'':12} {'files':>6} {'lines':>7} {'code':>7}   without words: {'lines':>7} {'code':>7}")
    for name, files in [*((commit, at(commit)) for commit in commits), ("here", here())]:
        whole, without = measure(files), measure({path: text for path, text in files.items() if not says_words(path)})
        print(f"{name[:12]:12} {whole.files:6} {whole.raw:7} {whole.code:7} {'':17} {without.raw:7} {without.code:7}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
