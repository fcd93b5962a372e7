"""Setting a view into its template. All escaping happens here; a name that a template gets wrong is an error."""

from functools import lru_cache
from pathlib import Path

from jinja2 import (
    BytecodeCache,
    ChoiceLoader,
    Environment,
    FileSystemLoader,
    StrictUndefined,
    TemplateError,
    TemplateSyntaxError,
)
from jinja2.bccache import Bucket

from procgen.manual.theme import Theme, ThemeError
from procgen.memo import Memo


class Press:
    """Prints views with the templates of a theme."""

    def __init__(self, theme: Theme, memo: Memo) -> None:
        self.theme = theme
        self._environment = _environment(theme.template_folders, theme.content_name)
        # What is compiled is kept under a name made from the template's text.
        self._environment.bytecode_cache = _Compiled(memo)

    def set(self, template: str, *, chrome: object, view: object) -> str:
        """The page as HTML. `chrome` is what every page has around it, `view` what this one shows.

        Raises ThemeError where a theme that overrides the default cannot be set; a fault of the default is a bug.
        """
        try:
            return self._environment.get_template(template).render(chrome=chrome, view=view)
        except TemplateError as error:
            if len(self.theme.folders) == 1:
                raise
            where = f"{error.filename}:{error.lineno}" if isinstance(error, TemplateSyntaxError) else template
            raise ThemeError(f"The theme's template cannot be used: {where}: {error.message}.") from error


@lru_cache(maxsize=4)
def _environment(folders: tuple[Path, ...], _content: str) -> Environment:
    """The templates in some folders, as long as their content has that name."""
    environment = Environment(
        loader=ChoiceLoader([FileSystemLoader(folder) for folder in folders]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        auto_reload=False,
    )
    # Templates show what they are given: no range, no namespace, no lorem ipsum.
    environment.globals.clear()
    return environment


class _Compiled(BytecodeCache):
    """Compiled templates in the memo of the build."""

    def __init__(self, memo: Memo) -> None:
        self._memo = memo

    def load_bytecode(self, bucket: Bucket) -> None:
        """Called by the environment; a bucket without bytecode is compiled."""
        known: bytes | None = self._memo.recall(_name(bucket))
        if known is not None:
            bucket.bytecode_from_string(known)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Called by the environment with what it has compiled."""
        self._memo.keep(_name(bucket), bucket.bytecode_to_string())


def _name(bucket: Bucket) -> str:
    return f"template {bucket.key} {bucket.checksum}"
