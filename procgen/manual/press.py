"""Setting a view into its template. All escaping happens here; a name that a template gets wrong is an error."""

from jinja2 import ChoiceLoader, Environment, FileSystemLoader, StrictUndefined, TemplateError, TemplateSyntaxError

from procgen.manual.theme import Theme, ThemeError


class Press:
    """Prints views with the templates of a theme."""

    def __init__(self, theme: Theme) -> None:
        self.theme = theme
        self._environment = Environment(
            loader=ChoiceLoader([FileSystemLoader(folder) for folder in theme.template_folders]),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
        )
        # Templates show what they are given: no range, no namespace, no lorem ipsum.
        self._environment.globals.clear()

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
