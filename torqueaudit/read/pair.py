"""A name with its value, as people write it."""


def read_pair(text: str, where: str) -> tuple[str, str]:
    """Read "length=287.6 mm" as name and value; `where` is what stands before it. Raises ValueError without either."""
    name, _, value = (part.strip() for part in text.partition("="))
    if not (name and value):
        raise ValueError(f"{where}: write NAME=VALUE, such as {where} “length=287.6 mm”")
    return name, value
