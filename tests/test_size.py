"""The count of the product's code counts what its docstring says: every figure here was counted by hand."""

from __future__ import annotations

from benchmarks.size import Size, is_product, lines_of_code, measure, says_words

MODULE = '''"""A docstring
over two lines."""

from __future__ import annotations

# a comment
WIDTH = 3  # behind code
"""A docstring of a value."""
TEXT = """a text
that is code"""


def area(
    height: float,
) -> float:
    """Height by width."""

    return WIDTH * height
'''


def test_lines_of_code_leave_out_blanks_comments_and_docstrings() -> None:
    # import, WIDTH, TEXT over two lines, the head of the function over three, its return
    assert lines_of_code(MODULE) == 8
    assert lines_of_code("") == lines_of_code("# nothing\n\n") == 0
    assert lines_of_code('f("a text in brackets",\n  """and\nmore""")\n') == 3


def test_product_code_is_what_is_installed() -> None:
    files = {"models/a.py": MODULE, "models/words.py": "A = 1\n", "tests/a.py": "A = 1\n", "quiz/texts/en.toml": "a\n"}
    assert measure(files) == Size(2, 19, 9)
    assert is_product("photo/card.py")
    assert not is_product("benchmarks/size.py")
    assert not is_product("assets/make.py")
    assert says_words("models/words.py")
    assert not says_words("coaxtell/cli/cable_words.py")
