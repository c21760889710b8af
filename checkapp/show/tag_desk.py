"""Tags in the app: pick things, a stock, where a half-used sheet starts; look at a page, save it, print it."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.rig.errors import CheckappError, printable
from checkapp.rig.measures import length_unit
from checkapp.show import places
from checkapp.show.printing import print_command, print_file
from checkapp.show.tag_habit import keep_habit, read_habit
from checkapp.show.tag_items import KINDS, TagGroup, TagItem, tag_groups
from checkapp.show.tag_stocks import stock_detail, stock_row, stock_title, stocks
from checkapp.show.tag_views import ChoiceRow, ChoiceView, StartView, TagsView
from checkapp.show.tag_words import counted_tags, kind_title, pages_words, pick_view, start_words
from checkapp.show.tagging import Asked, title_of, write_rig_tags
from checkapp.tags.stock import DEFAULT_STOCK
from checkapp.tongue import language, tr

if TYPE_CHECKING:
    from checkapp.rig.rig import Rig
    from checkapp.show.tag_views import PickView
    from checkapp.tags.label import Label
    from checkapp.tags.parts import Layout
    from checkapp.tags.stock import Place, Stock

PAGE_PX = 900
"""The longer side of a page's picture, in pixels: what is printed largest and smaller can be read in it."""
_MOST_FILES = 1000


class NothingPicked(CheckappError):
    """Nothing that the stock takes is picked."""


class NotSaved(CheckappError):
    """The folder has too many files of that name."""


class TagDesk:
    """The tags of one rig. ``home`` is the folder of the user's data; ``folders`` says where can be saved, by name."""

    def __init__(self, rig: Rig, home: Path, folders: Callable[[], Iterable[tuple[str, Path]]]) -> None:
        self._home, self._folders = home, folders
        self._habit = read_habit(home)
        self._left_out: set[str] = set()
        self._page, self._message = 1, ""
        self._laid: dict[tuple[str, Label], Layout] = {}
        self._every: dict[bool, tuple[Label, ...]] = {}
        self._said_in = (language(), length_unit())
        self.rig = rig

    def on(self, rig: Rig) -> TagDesk:
        """The desk with the rig as it runs now, in the words of now: what was left out stays left out."""
        said_in = (language(), length_unit())
        if rig is not self.rig or said_in != self._said_in:
            self.rig, self._said_in = rig, said_in
            self.__dict__.pop("_groups", None)
            self._laid.clear()
            self._every.clear()
        return self

    # -- what is picked

    @cached_property
    def _groups(self) -> tuple[TagGroup, ...]:
        return tag_groups(self.rig)

    def _items(self) -> list[TagItem]:
        """What is picked, whatever the stock takes."""
        return [item for group in self._groups for item in group.items if item.code not in self._left_out]

    def _goes(self) -> list[TagItem]:
        """What is picked and goes onto the stock."""
        stock = self._stock
        return [item for item in self._items() if stock.takes(item.kind)]

    def picking(self) -> PickView:
        """What can be picked, and what is."""
        return pick_view(self._groups, self._left_out)

    def pick_all(self, picked: bool) -> PickView:
        """Pick everything, or nothing."""
        return self._pick((code for group in self._groups for code in group.codes), picked)

    def pick_kind(self, kind: str) -> PickView:
        """Pick all of a kind; when all of it is picked, none."""
        return self._turn([code for group in self._groups if group.kind == kind for code in group.codes])

    def pick_group(self, key: str) -> PickView:
        """Pick a group; when all of it is picked, none of it."""
        return self._turn([code for group in self._groups if group.key == key for code in group.codes])

    def pick(self, code: str) -> PickView:
        """Pick a thing, or leave it out."""
        return self._turn([code])

    def _turn(self, codes: list[str]) -> PickView:
        return self._pick(codes, picked=any(code in self._left_out for code in codes))

    def _pick(self, codes: Iterable[str], picked: bool) -> PickView:
        change = self._left_out.difference_update if picked else self._left_out.update
        change(codes)
        self._page, self._message = 1, ""
        return self.picking()

    # -- what it is printed on

    @cached_property
    def _stocks(self) -> dict[str, Stock]:
        return stocks((self._home / "labels", places.shipped("labels")))

    @property
    def _name(self) -> str:
        """The stock's name: the one chosen last, if it is still there."""
        wanted = self._habit.stock
        return wanted if wanted in self._stocks else next(iter(self._stocks), DEFAULT_STOCK)

    @property
    def _stock(self) -> Stock:
        return self._stocks[self._name]

    @property
    def _start(self) -> int:
        return self._habit.start if 1 <= self._habit.start <= len(self._stock.places) else 1

    def stocks(self) -> ChoiceView:
        """The stocks that there are."""
        rows = tuple(stock_row(name, stock, self._name) for name, stock in self._stocks.items())
        return ChoiceView("stock", tr("Stock"), tr("What is in the printer:"), rows)

    def take_stock(self, name: str) -> TagsView:
        """Print on another stock, from its first label."""
        if name != self._name:
            self._keep(stock=name, start=1)
        return self.view()

    def starting(self) -> StartView:
        """The first sheet, label by label."""
        stock, start = self._stock, self._start
        tags = [f"{label.large}" for label in self._labels()[: len(stock.places) - start + 1]]
        cells = [*[""] * (start - 1), *tags]
        cells += [""] * (len(stock.places) - len(cells))
        return StartView(start_words(stock, start), stock.across, stock.down, start, tuple(cells))

    def start_at(self, start: int) -> StartView:
        """Begin at another label of the first sheet, counted from 1. Errors: `StartRefused`."""
        from checkapp.tags.sheet import Where, check_where

        check_where(self._stock, Where(start))
        self._keep(start=start)
        return self.starting()

    def turn_words(self) -> TagsView:
        """Tags that last, or tags for this show: the other."""
        self._keep(for_show=not self._habit.for_show)
        return self.view()

    def _keep(self, **changes: object) -> None:
        self._habit = replace(self._habit, **changes)  # type: ignore[arg-type]
        self._page, self._message = 1, ""
        keep_habit(self._home, self._habit)

    # -- what is seen

    def view(self) -> TagsView:
        """What is to be printed, and a page of it."""
        stock, goes = self._stock, self._goes()
        pages = self._pages()
        self._page = max(1, min(self._page, pages))
        picture, caution = self._picture() if goes else (b"", self._nothing_words())
        width_px, height_px = _size_px(stock)
        command = print_command()
        return TagsView(
            summary=self._sum_words(),
            items=self._picked_words(),
            stock=stock_title(self._name, stock),
            stock_detail=stock_detail(stock),
            start=start_words(stock, self._start) if len(stock.places) > 1 else "",
            says=tr("tags for this show") if self._habit.for_show else tr("tags that last"),
            says_detail=tr("where each thing goes in this plan")
            if self._habit.for_show
            else tr("what stays true of each thing: code, kind, owner"),
            folder=printable(self._folder_name(), 80),
            page=self._page,
            pages=pages,
            page_words=tr("page {page} of {pages}", page=self._page, pages=pages),
            picture=picture,
            width_px=width_px,
            height_px=height_px,
            can_print=bool(picture),
            caution=caution or self._left_out_words(),
            print_word=tr("print") if command else "",
            print_note="" if command else tr("This machine has no print command: save the file, print it on another."),
            message=self._message,
        )

    def turn(self, pages: int) -> TagsView:
        """So many pages on, below 0 back; after the last comes the first."""
        self._page = (self._page - 1 + pages) % max(1, self._pages()) + 1
        return self.view()

    def _pages(self) -> int:
        tags, stock = sum(item.tags for item in self._goes()), self._stock
        return -(-(tags + self._start - 1) // len(stock.places)) if tags else 0

    def _labels(self) -> tuple[Label, ...]:
        from checkapp.tags.label import labels_of

        for_show, codes = self._habit.for_show, {item.code for item in self._goes()}
        if for_show not in self._every:
            self._every[for_show] = labels_of(self.rig, for_show=for_show)
        return tuple(label for label in self._every[for_show] if label.tag.code in codes)

    def _picture(self) -> tuple[bytes, str]:
        """The page that is looked at as a PNG, or why there is none."""
        from checkapp.tags.margins import sheet_title
        from checkapp.tags.page_picture import page_picture
        from checkapp.tags.sheet import pages_of

        stock, first = self._stock, self._page == 1
        page = list(pages_of(self._labels(), stock, self._start))[self._page - 1]
        title = sheet_title(title_of(self.rig), self._page, self._pages())
        used: tuple[Place, ...] = stock.places[: self._start - 1] if first else ()
        try:
            drawn = [(place, self._layout(label)) for place, label in page]
        except CheckappError as error:
            return b"", error.lines[0]
        return page_picture(drawn, stock, title, _size_px(stock)[0], used), ""

    def _layout(self, label: Label) -> Layout:
        from checkapp.tags.layout import layout

        key = self._name, label
        if key not in self._laid:
            self._laid[key] = layout(label, self._stock)
        return self._laid[key]

    # -- what is done

    def save_places(self) -> ChoiceView:
        """Where the file can be saved."""
        here = self._folder()
        known = [(name, str(path), path == here) for name, path in self._folders()]
        rows = tuple(ChoiceRow(path, name, printable(path, 120), chosen) for name, path, chosen in known)
        return ChoiceView("folder", tr("Save to"), tr("The folder or stick that the file goes to:"), rows)

    def save_in(self, folder: str) -> TagsView:
        """Save into that folder from now on."""
        self._keep(folder=folder)
        return self.view()

    def save(self, folder: Path | None = None) -> TagsView:
        """Write the tags as a PDF into the folder, else into the one chosen; no file that is there is replaced.

        Errors: `NothingPicked`, `FileNotWritten`, those of what is printed.
        """
        out = _free(folder or self._folder(), printable(self.rig.name, 60))
        notes = self._write(out)
        where = printable(str(out.parent), 120)
        words = tr("Saved: {file} in {folder}", file=printable(out.name), folder=where)
        self._message = "\n".join([words, *notes])
        return self.view()

    def print_out(self) -> TagsView:
        """Give the tags to the system's print command. Errors: as `save`, and `NotPrinted`."""
        with tempfile.TemporaryDirectory(prefix="checkapp-tags-", ignore_cleanup_errors=True) as folder:
            out = Path(folder) / "tags.pdf"
            notes = self._write(out)
            if print_command() == "print":  # whoever prints it reads it later
                out = out.replace(self._home / "printed-tags.pdf")
            said = print_file(out)
        sent = tr("Sent to the printer: {tags}", tags=self._sum_words())
        self._message = "\n".join([sent, *filter(None, (said,)), *notes])
        return self.view()

    def _sum_words(self) -> str:
        tags = counted_tags(sum(item.tags for item in self._goes()))
        return tr("{tags} on {pages}", tags=tags, pages=pages_words(self._pages()))

    def _write(self, out: Path) -> list[str]:
        """Write them; what a person would not see at once."""
        goes = self._goes()
        if not goes:
            raise NothingPicked(self._nothing_words())
        everything = not self._left_out and len(goes) == len(self._items())
        items = None if everything else [item.code for item in goes]
        asked = Asked(self._name, items, self._habit.for_show, start=self._start)
        _first, *notes = write_rig_tags(self.rig, self._stock, out, asked).splitlines()
        return notes

    def _folder(self) -> Path:
        """Where it is saved: where it was last, if that is there, else the first place."""
        if self._habit.folder and Path(self._habit.folder).is_dir():
            return Path(self._habit.folder)
        return next((path for _, path in self._folders()), self._home)

    def _folder_name(self) -> str:
        here = self._folder()
        return next((name for name, path in self._folders() if path == here), str(here))

    # -- in words

    def _picked_words(self) -> str:
        every = [item for group in self._groups for item in group.items]
        if not self._left_out.intersection(item.code for item in every):
            return tr("all {count}", count=len(every))
        return tr("{picked} of {count}", picked=len(self._items()), count=len(every))

    def _nothing_words(self) -> str:
        if self._items():
            return tr("Nothing to print: a wrap goes round a cable. Pick cables, or take another stock.")
        return tr("Nothing is picked. Pick what you want tags for.")

    def _left_out_words(self) -> str:
        """What is picked and does not go onto the stock."""
        stock = self._stock
        kinds = [kind for kind in KINDS if any(item.kind == kind for item in self._items()) and not stock.takes(kind)]
        if not kinds:
            return ""
        return tr("A wrap goes round a cable. Left out: {kinds}", kinds=", ".join(kind_title(kind) for kind in kinds))


def _size_px(stock: Stock) -> tuple[int, int]:
    """Width and height of a page's picture."""
    scale = PAGE_PX / max(stock.page_width_mm, stock.page_height_mm)
    return round(stock.page_width_mm * scale), max(1, round(scale * stock.page_height_mm))


def _free(folder: Path, rig: str) -> Path:
    """A name in the folder that no file has."""
    plain = "".join(letter if letter.isalnum() or letter in " -" else " " for letter in rig)
    stem = tr("{rig} tags", rig=" ".join(plain.split()) or "checkapp")
    for number in range(1, _MOST_FILES):
        out = folder / (f"{stem}.pdf" if number == 1 else f"{stem} {number}.pdf")
        if not out.exists():
            return out
    raise NotSaved(tr("{folder}: full of files of that name; pick another folder", folder=printable(str(folder), 120)))
