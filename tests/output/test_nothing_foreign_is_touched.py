"""A law of writing: whatever is built in whatever order, a file of somebody else stays as it is."""

import tempfile
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from procgen.manual.page import Page
from procgen.output.error import OutputError
from procgen.output.folder import JOURNAL, MANIFEST
from procgen.output.write import write_site

PATHS = st.sampled_from(["index.html", "a/one.html", "a/two.html", "b/one.html", "c.html"])
TEXTS = st.sampled_from(["red", "green", "blue"])
BUILDS = st.dictionaries(PATHS, TEXTS, max_size=5)
ACTS = st.lists(
    st.one_of(
        st.tuples(st.just("build"), BUILDS),
        st.tuples(st.just("somebody writes"), st.tuples(PATHS, st.sampled_from(["mine", "red", "notes"]))),
        st.tuples(st.just("somebody deletes"), PATHS),
    ),
    max_size=8,
)


@given(ACTS)
def test_what_somebody_else_wrote_is_there_after_every_build(acts: list[tuple[str, object]]) -> None:
    with tempfile.TemporaryDirectory() as scratch:
        root, out = Path(scratch) / "library", Path(scratch) / "site"
        root.mkdir()
        foreign: dict[str, str] = {}
        for act, what in acts:
            match act, what:
                case "build", dict(pages):
                    try:
                        write_site([Page(path, text) for path, text in sorted(pages.items())], out, root)
                    except OutputError:
                        pass
                    else:
                        # A page that reads exactly as somebody had written it has become the program's own.
                        foreign = {path: text for path, text in foreign.items() if pages.get(path) != text}
                        assert all((out / path).read_text(encoding="utf-8") == text for path, text in pages.items())
                case "somebody writes", (str(path), str(text)):
                    if (out / path).exists() and (out / path).read_text(encoding="utf-8") == text:
                        continue
                    (out / path).parent.mkdir(parents=True, exist_ok=True)
                    (out / path).write_text(text, encoding="utf-8")
                    # A text that the program wrote itself cannot be told from the program's own.
                    if text in ("mine", "notes"):
                        foreign[path] = text
                    else:
                        foreign.pop(path, None)
                case "somebody deletes", str(path):
                    (out / path).unlink(missing_ok=True)
                    foreign.pop(path, None)
            for path, text in foreign.items():
                assert (out / path).read_text(encoding="utf-8") == text
            strays = {file.name for file in out.rglob(".procgen-staged*")} if out.exists() else set()
            assert not strays
        assert not (out / MANIFEST).is_symlink()
        assert not (out / JOURNAL).is_symlink()
