"""The algorithm of append, free of any engine: one act, once, behind what it was read from, in one transaction."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from random import Random
from typing import TypeAlias

from torqueaudit.book import words
from torqueaudit.book.engine import Engine
from torqueaudit.book.errors import IdUsed, Moved
from torqueaudit.book.lists.upkeep import Lists
from torqueaudit.book.memory import Memory
from torqueaudit.book.personal import set_personal
from torqueaudit.ledger.entry import (
    FIRST_PREVIOUS,
    Act,
    Draft,
    Entry,
    document_of,
    entry_of,
    hash_of,
    place,
    require_act,
    stamp,
)
from torqueaudit.ledger.words import salted

Personal: TypeAlias = Mapping[str, Mapping[str, str]]
_BEFORE_THE_FIRST = (0, FIRST_PREVIOUS)


class Ledger:
    """The entries of one site, in whatever engine they lie: read by subject, appended by act.

    The memory and the lists know entries without their free words, which may be erased at any moment.
    """

    def __init__(self, engine: Engine, lists: Lists, clock: Callable[[], datetime], chance: Random) -> None:
        self._engine = engine
        self._lists = lists
        self._clock = clock
        self._chance = chance
        self._memory = Memory()

    def append(
        self,
        act: Act,
        drafts: Sequence[Draft],
        expect: Mapping[str, int],
        personal: Personal,
        beside: Callable[[Sequence[Entry]], None] = lambda _: None,
    ) -> list[Entry]:
        """Write one act in one transaction: entries, chain, words, lists and personal data; the entries as they stand.

        `beside` is handed the entries, and writes what goes with them outside of the ledger. An act that is recorded
        already changes nothing. Raises IdUsed, Moved, whatever `beside` raises, or ValueError and TypeError for a draft
        that the ledger could not hold; nothing is written then.
        """
        with self._engine.writing():
            require_act(act)
            text, last = self._engine.text_with_id_and_last(act.id)
            if text is not None:
                return self._recorded(act, text)
            subjects = {draft.subject: self._own(draft.subject) for draft in drafts}
            self._require_unmoved(expect, subjects)
            # The clock is read under the lock, so that it goes on from entry to entry.
            placed = place(act, drafts, self._engine.site, stamp(self._clock()))
            entries = self._write(self._telling(placed, personal), subjects, last or _BEFORE_THE_FIRST)
            for subject, own in subjects.items():
                self._lists.refresh(self._engine, subject, own)
            beside(entries)
        for subject, own in subjects.items():
            self._memory.keep(subject, own)
        return entries

    def earlier(self, act: Act) -> list[Entry] | None:
        """The entries of this act if it was recorded before, else None. Raises IdUsed when the id said otherwise."""
        require_act(act)
        text = self._engine.text_with_id(act.id)
        return None if text is None else self._recorded(act, text)

    def _recorded(self, act: Act, text: str) -> list[Entry]:
        """The entries of an act whose first one is stored as a text. Raises IdUsed when the id said otherwise."""
        entries = self._written(text)
        if entries[0].digest not in {act.digest, act.older_digest}:
            raise _used(act, entries[0])
        if words.told_otherwise(self._engine, entries, act.words):
            raise _used(act, entries[0])
        return words.with_words_between(self._engine, entries)

    def of_act(self, id_: str) -> list[Entry]:
        """The entries of the act that was recorded under an id, with their words; none where none was."""
        text = self._engine.text_with_id(id_)
        return [] if text is None else words.with_words_between(self._engine, self._written(text))

    def _written(self, text: str) -> list[Entry]:
        """The entries of the act whose first one is stored as a text, without their words."""
        first = entry_of(text)
        return [
            entry_of(each) for each, _ in self._engine.texts(first.site, first.sequence, first.sequence + first.of - 1)
        ]

    def entries(self, subject: str) -> list[Entry]:
        """One subject's entries in order, with their words."""
        known = self._memory.of(subject)
        new = tuple(map(entry_of, self._engine.texts_of(subject, len(known))))
        own = (*known, *new) if new else known
        if own:
            self._memory.keep(subject, own)
        return words.with_words_of(self._engine, subject, own)

    def last(self) -> tuple[int, str]:
        """Sequence and hash of the newest entry; 0 and zeros before the first."""
        return self._engine.last() or _BEFORE_THE_FIRST

    def _own(self, subject: str) -> list[Entry]:
        """Entries in memory and those written since, without words. Not kept: the transaction may yet fail."""
        known = self._memory.of(subject)
        return [*known, *map(entry_of, self._engine.texts_of(subject, len(known)))]

    def _require_unmoved(self, expect: Mapping[str, int], subjects: Mapping[str, Sequence[Entry]]) -> None:
        for subject, number in expect.items():
            own = subjects.get(subject)
            if (self._engine.highest_number(subject) if own is None else len(own)) != number:
                raise Moved(subject)

    def _telling(self, placed: Sequence[Entry], personal: Personal) -> list[Entry]:
        """Set what is known of people and vehicles; the entries, the first of each subject with the digests of it."""
        entries = list(placed)
        for subject, fields in personal.items():
            first = next((nth for nth, entry in enumerate(entries) if entry.subject == subject), None)
            if first is None:
                raise ValueError(f"{subject} has no entry in the act that tells what is known of it")
            kept = {field: salted(value, self._chance) for field, value in fields.items()}
            digests = {field: each.digest if each.text else "" for field, each in kept.items()}
            entries[first] = entries[first]._replace(personal=digests)
            set_personal(self._engine, subject, kept)
        return entries

    def _write(
        self, placed: Iterable[Entry], subjects: Mapping[str, list[Entry]], last: tuple[int, str]
    ) -> list[Entry]:
        """Give each entry its place behind the last one, seal its words, write it, and add it to its subject's."""
        from torqueaudit.book.finds import erase_words, keep  # whoever only reads the book keeps no rows

        sequence, previous = last
        entries = []
        for lacking in placed:
            sequence += 1
            own = subjects[lacking.subject]
            kept = {field: salted(text, self._chance) for field, text in lacking.words.items()}
            entry = lacking._replace(
                sequence=sequence,
                number=len(own) + 1,
                previous=previous,
                sealed={field: each.digest for field, each in kept.items()},
            )
            text = document_of(entry)
            previous = hash_of(text)
            self._engine.insert(sequence, text, previous)
            words.keep(self._engine, entry, kept)
            keep(self._engine, entry, own[0] if own else entry, lacking.words)
            if entry.kind == words.ERASED:
                words.erase(self._engine, entry)
                erase_words(self._engine, entry.said["entries"])
            entries.append(entry)
            own.append(entry._replace(words={}) if kept else entry)
        return entries


def _used(act: Act, first: Entry) -> IdUsed:
    return IdUsed(f"The id {act.id} was used before for something else (entry {first.sequence}); give a new id.")
