"""Codes that can be read out, and tokens that cannot be guessed."""

from __future__ import annotations

import pytest

from fillfirst.access.secrets import ALPHABET, hash_secret, make_code, make_token, read_code, write_code


def test_a_code_is_eight_letters_that_spell_no_word() -> None:
    code = make_code()

    assert len(code) == 8
    assert set(code) <= set(ALPHABET)
    assert not set(ALPHABET) & set("AEIOUY0123456789")


def test_a_code_is_written_in_two_halves() -> None:
    assert write_code("BCDFGHJK") == "BCDF-GHJK"


@pytest.mark.parametrize("typed", ["BCDFGHJK", "bcdf-ghjk", " bcdf ghjk ", "B C D F G H J K"])
def test_a_code_may_be_typed_as_one_likes(typed: str) -> None:
    assert read_code(typed) == "BCDFGHJK"


@pytest.mark.parametrize("typed", ["", "BCDFGHJ", "BCDFGHJKL", "ACDFGHJK", "BCDFGHJ1", "ⅭCDFGHJK"])
def test_what_cannot_be_a_code_is_none(typed: str) -> None:
    assert read_code(typed) is None


def test_a_token_has_256_bits() -> None:
    assert len(make_token()) == 43
    assert make_token() != make_token()


def test_only_a_hash_is_kept() -> None:
    assert hash_secret("BCDFGHJK") != b"BCDFGHJK"
    assert len(hash_secret("\ud800")) == 32
