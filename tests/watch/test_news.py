"""News: a page hears of every build once, and of all that changed since the one that it shows."""

from procgen.watch.board import Board
from procgen.watch.rebuild import Outcome
from procgen.watch.wake import Bell


def test_a_page_hears_what_changed_since_its_own_build() -> None:
    board = Board()
    board.post(Outcome(changed=("a.html",)))
    known = board.latest
    board.post(Outcome(changed=("b.html",)))
    board.post(Outcome(changed=("c.html", "b.html")))
    news = board.news(shown=-1, known=known, longest_s=0)
    assert news
    assert (news.build, news.changed) == (known + 2, ("b.html", "c.html"))
    assert board.news(shown=news.build, known=known, longest_s=0) is None


def test_a_page_from_another_watch_or_too_long_ago_is_told_that_all_may_have_changed() -> None:
    board = Board()
    first = board.latest
    board.post(Outcome(changed=("a.html",)))
    for known in (0, first - 1, board.latest + 1):
        news = board.news(shown=-1, known=known, longest_s=0)
        assert news
        assert news.changed is None
    for _ in range(600):
        board.post(Outcome())
    news = board.news(shown=-1, known=first, longest_s=0)
    assert news
    assert news.changed is None


def test_before_the_first_build_and_after_the_last_there_is_no_news() -> None:
    board = Board()
    assert board.news(shown=-1, known=0, longest_s=0) is None
    board.post(Outcome())
    board.close()
    assert board.news(shown=-1, known=0, longest_s=60) is None


def test_a_thousand_rings_wake_once() -> None:
    bell = Bell()
    for _ in range(1000):
        bell.ring()
    assert bell.wait(60)
    assert bell._queue.empty()  # nothing else shows that no ring is left


def test_a_stopped_bell_makes_nobody_wait() -> None:
    bell = Bell()
    bell.stop()
    assert not bell.wait(60)
    assert not bell.wait(60)
