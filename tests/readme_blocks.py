"""The parts of README that are made from the code: `python tests/readme_blocks.py` writes them anew."""

import re
from pathlib import Path

from tracker.csvfile.columns import columns_markdown

README = Path(__file__).parent.parent / "README.md"
COLUMNS = re.compile(r"(?<=<!-- columns:start -->\n).*?(?=<!-- columns:end -->)", re.DOTALL)


def generated(text: str) -> str:
    """README with its made parts as the code has them."""
    tables = f"\n**Watches**\n\n{columns_markdown('watches')}\n\n**Log**\n\n{columns_markdown('log')}\n\n"
    return COLUMNS.sub(lambda _: tables, text)


if __name__ == "__main__":
    README.write_text(generated(README.read_text()))
