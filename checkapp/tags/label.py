"""The labels of a rig: for each thing its lasting asset tag, or its show tag with what this plan does with it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from checkapp.page import fonts
from checkapp.rig.codes import Tag, read_tags
from checkapp.rig.measures import length_of
from checkapp.rig.rig import Rig
from checkapp.tags.for_show import ForShow
from checkapp.tags.lasting import Said, TagKind, lasting


@dataclass(frozen=True, slots=True)
class Label:
    """One tag as it is printed.

    ``said`` is what stands below the code, the weightiest first. ``jacket_mm`` is the diameter of a
    cable's jacket, None where the plan does not give it. ``link`` is what stands before the tag in
    the QR, empty when the QR holds the tag alone. ``length`` is a cable's, with its unit.
    """

    tag: Tag
    kind: TagKind
    said: tuple[Said, ...] = ()
    jacket_mm: float | None = None
    link: str = ""
    length: str = ""

    @property
    def large(self) -> str:
        """What is printed largest: the code, and a cable's end, which tells the two ends apart at arm's length."""
        return f"{self.tag.code} {self.tag.end}" if self.tag.end else self.tag.code

    @property
    def text(self) -> str:
        """What is printed small: owner, code, a cable's end, a show tag's mark, check character."""
        return self.tag.text

    @property
    def payload(self) -> str:
        """What the QR holds: the text, behind the link if there is one."""
        return self.link + self.tag.text


def labels_of(
    rig: Rig, items: Iterable[str] | None = None, *, for_show: bool = False, link: str = ""
) -> tuple[Label, ...]:
    """The labels of every box, both ends of every cable, chain, supply and source, in that order.

    Within a kind in the order of the plan. ``items`` picks some, by code or by tag as people type
    them; a cable named without its end gets both. With ``for_show`` they are show tags. ``link``, as
    `checkapp.tags.link.link_of` gives it, goes before each tag in the QR. Errors: `UnknownCode` and
    `WrongCheckCharacter` for a name that the rig does not have, with the nearest that it has.
    """
    tags = rig.tags if items is None else _picked(rig, items)
    show = ForShow(rig)
    return tuple(
        Label(
            replace(tag, mark=rig.mark) if for_show else tag,
            _kind(rig, tag.code),
            show.said(tag) if for_show else lasting(rig, tag),
            _jacket_mm(rig, tag.code),
            link,
            length_of(rig.cables[tag.code]) if tag.code in rig.cables else "",
        )
        for tag in tags
    )


def without_glyphs(labels: Iterable[Label]) -> tuple[str, ...]:
    """What the labels say with characters that no typeface has."""
    face = fonts.plain_face()
    texts = dict.fromkeys(said.text for label in labels for said in label.said)
    return tuple(text for text in texts if not fonts.has_glyphs(text, face))


def _picked(rig: Rig, items: Iterable[str]) -> Sequence[Tag]:
    """The rig's lasting tags that were named, by code, asset tag or show tag."""
    known = [*rig.tags, *(replace(tag, mark=rig.mark) for tag in rig.tags)]
    wanted = {(tag.code, tag.end) for typed in items for tag in read_tags(typed, known)}
    return [tag for tag in rig.tags if (tag.code, tag.end) in wanted]


def _kind(rig: Rig, code: str) -> TagKind:
    tables: tuple[tuple[TagKind, Iterable[str]], ...] = (
        ("box", rig.boxes),
        ("cable", rig.cables),
        ("chain", rig.chains),
        ("supply", rig.supplies),
    )
    return next((kind for kind, codes in tables if code in codes), "source")


def _jacket_mm(rig: Rig, code: str) -> float | None:
    cable = rig.cables.get(code)
    return None if cable is None else rig.cable_kind(cable).jacket_mm
