"""Games: the list, a new one, and what to do with an empty book."""

from collections.abc import Iterable, Mapping
from typing import ClassVar, Final

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import OptionList, Static

from sequencer.places import default_book
from tui import keys
from tui.messages import AskGameForm, AskRules, BeginTour, ChangeRules, MakeGame, OpenDemo, OpenGame
from tui.screens.choose import Field, FormScreen
from tui.screens.place import PlaceScreen, fill
from tui.views import Choice, GameForm, GamesView
from tui.widgets.choices import Choices

_FIRST = """This book is empty. What to do first:

  n   make a game: who plays whom, who pitches; then log it in the dugout
  t   a tour of the places on demo data, six steps, ended by one key
  d   look around in demo data (invented clubs; nothing there is kept)

What you have in a file comes in with Ctrl+P, import FILE, or on the command line:

  sequencer import pitches.csv{book}

F2 scouting is where hitters get their marks; F1 is help for each place."""

_NO_GAME: Final = "No game yet: n makes one."


def _option(path: str) -> str:
    """Return the option that names a book on the command line; none for the user's own."""
    return "" if path == default_book() else f" --book {path}"


class GamesScreen(PlaceScreen):
    """The games of the book, newest first."""

    PLACE: ClassVar[str] = "games"
    BINDINGS: ClassVar[list[BindingType]] = [*keys.bindings("games")]

    def body(self) -> Iterable[Widget]:
        """Lay out the list, and the words for an empty book."""
        yield Choices(id="games-list", markup=False)
        yield Static(id="first", markup=False)

    def draw(self) -> None:
        """Draw the list."""
        view = self._view
        if not isinstance(view, GamesView):
            return
        self.title_line(f"Games in {view.path}")
        games = self.query_one(OptionList)
        games.display = bool(view.games)
        first = self.query_one("#first", Static)
        first.display = not view.games
        first.update(_FIRST.format(book=_option(view.path)) if view.empty else _NO_GAME)
        fill(games, [Choice(game.id, game.says) for game in view.games])
        if view.games:
            games.focus()
        else:
            # A hidden list would keep Enter to itself.
            self.set_focus(None)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Open the game chosen."""
        self.post_message(OpenGame(event.option.id or ""))

    def action_open_game(self) -> None:
        """Open the highlighted game."""
        games = self.query_one(OptionList)
        if games.highlighted is None:
            self.say(_NO_GAME)
        else:
            games.action_select()

    def action_demo(self) -> None:
        """Look around in demo data."""
        self.post_message(OpenDemo())

    def action_tour(self) -> None:
        """Show the places one after another."""
        self.notify("Laying the demo out …", timeout=2, markup=False)
        self.post_message(BeginTour())

    def action_new_game(self) -> None:
        """Ask the app for what a new game can be."""
        self.post_message(AskGameForm())

    def ask_game(
        self, form: GameForm, said: Mapping[str, str] | None = None, told: str = ""
    ) -> None:
        """Show the form of a new game; `told` says what was wrong with it the last time."""
        values = dict(said or form.values)
        fields = [
            Field("game", "Game (a name for it)", values.get("game", "")),
            Field("date", "Date", values.get("date", "")),
            Field("us", "Our team", values.get("us", "")),
            Field("them", "Opponent", values.get("them", "")),
            Field("home", "At home", values.get("home", "us"), ("us", "them")),
            Field("pitcher", "Our pitcher", values.get("pitcher", "")),
            Field("line_up", "Their line-up (a file)", values.get("line_up", "")),
            Field("both", "Log their pitching too", values.get("both", "no"), ("no", "yes")),
            Field("level", "Level", values.get("level", ""), form.levels),
            Field("rules", "Rules", values.get("rules", ""), form.rules),
            Field("rule_edits", "Rule changes (rule=value; ...)", values.get("rule_edits", "")),
        ]
        self.app.push_screen(FormScreen("New game", fields, told), self._made)

    def _made(self, said: Mapping[str, str] | None) -> None:
        if said is not None:
            self.post_message(MakeGame(said))

    def action_rules(self) -> None:
        """Ask the app for the rule changes of the highlighted game."""
        games = self.query_one(OptionList)
        if games.highlighted is not None:
            self.post_message(AskRules(games.get_option_at_index(games.highlighted).id or ""))
        else:
            self.say(_NO_GAME)

    def ask_rules(self, game_id: str, title: str, edits: str, told: str) -> None:
        """Show the rule changes of a game; `told` says what may be changed, or what was wrong."""

        def keep(said: Mapping[str, str] | None) -> None:
            if said is not None:
                self.post_message(ChangeRules(game_id, said))

        fields = [Field("rule_edits", "Rule changes (rule=value; ...)", edits)]
        self.app.push_screen(FormScreen(title, fields, told), keep)
