"""The shop's wording as HTML: paragraphs parted by blank lines, lines starting with "- " are a list."""

from markupsafe import Markup, escape


def paragraphs(text: str) -> Markup:
    """Give escaped paragraphs and lists; nothing typed by the shop can become markup."""
    blocks = [block.strip() for block in text.replace("\r\n", "\n").split("\n\n") if block.strip()]
    return Markup("\n").join(_block(block.splitlines()) for block in blocks)


def _block(lines: list[str]) -> Markup:
    if all(line.lstrip().startswith("- ") for line in lines):
        items = (Markup("<li>{}</li>").format(line.lstrip()[2:].strip()) for line in lines)
        return Markup("<ul>{}</ul>").format(Markup("").join(items))
    return Markup("<p>{}</p>").format(Markup("<br>").join(escape(line) for line in lines))
