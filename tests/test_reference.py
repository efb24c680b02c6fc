"""The tables in data/ read into records, and what is said when a cell cannot be used."""

import dataclasses
import os
import re

import pytest

from mosaiclib import reference
from mosaiclib.errors import MosaicError

OURS = ("filler", "joints", "kinds", "packs", "spacers")
HEAD = "name,value,unit,condition,source,clause,evidence\n"


def write(folder, text, name="things_test_2026.csv"):
    (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


@pytest.mark.parametrize("subject", OURS)
def test_every_row_says_where_it_comes_from(subject):
    for record in reference.table(subject):
        assert record.subject == subject
        assert record.evidence in reference.EVIDENCE
        assert record.source or record.evidence in ("common practice", "assumed", "invented")
        assert record.unit or (record.value is None and record.note)
        assert record.value is not None or record.least is not None or record.note
        assert record.cite.endswith(record.evidence) or record.cite.endswith(f"({record.evidence})")


@pytest.mark.parametrize("subject", OURS)
def test_files_are_named_subject_source_year(subject):
    for path in reference.DATA.glob(f"{subject}_*.csv"):
        _, source, year = path.stem.split("_")
        assert source and 1900 < int(year) < 2100


def test_records_are_frozen_and_found_by_name():
    nickel = reference.value("spacers", "US nickel")
    assert nickel in reference.table("spacers") and nickel.group == "US"
    with pytest.raises(dataclasses.FrozenInstanceError):
        nickel.value = 2.0


def test_files_of_one_subject_are_one_table():
    groups = [record.group for record in reference.table("spacers")]
    assert {"US", "euro", "stick"} <= set(groups)


def test_no_figure_is_made_up_where_none_is_known():
    stick = reference.value("spacers", "craft stick")
    assert stick.value is None
    with pytest.raises(MosaicError, match="measure it"):
        _ = stick.number
    with pytest.raises(MosaicError, match="no limits for craft stick"):
        _ = stick.band


def test_common_practice_is_marked_and_has_no_source():
    record = reference.value("spacers", "craft stick")
    assert (record.evidence, record.source, record.cite) == ("common practice", "", "common practice")
    assert record.note


def test_filler_figures_from_memory():
    # From memory, not read: sanded powder takes less water than unsanded.
    sanded, unsanded = (reference.value("filler", f"water in {sand} grout") for sand in ("sanded", "unsanded"))
    assert (sanded.band, unsanded.band) == ((0.18, 0.25), (0.25, 0.35))
    assert {record.evidence for record in (sanded, unsanded)} == {"from memory"}


def test_columns_of_other_names_are_kept(tmp_path):
    write(tmp_path, HEAD[:-1] + ",Shop\na,1,mm,,,,assumed,corner\n")
    (record,) = reference.table("things", folder=tmp_path)
    assert record.more == {"shop": "corner"} and record.cite == "assumed"


def test_packs_are_invented_and_cheaper_by_the_piece_when_larger():
    packs = reference.table("packs")
    assert {pack.evidence for pack in packs} == {"invented"}
    assert all(pack.price > 0 and pack.value > 0 and pack.group for pack in packs)
    for group in {pack.group for pack in packs}:
        small, large = sorted((pack for pack in packs if pack.group == group), key=lambda pack: pack.value)
        assert large.price / large.value < small.price / small.value


def test_unknown_subject_name_and_folder(tmp_path):
    with pytest.raises(MosaicError, match=r"subject 'coins' is not known; choose one of: .*spacers"):
        reference.table("coins")
    with pytest.raises(MosaicError, match=r"'US penny' is not known; choose one of: .*US cent"):
        reference.value("spacers", "US penny")
    with pytest.raises(MosaicError, match="'nowhere', was not found"):
        reference.table("spacers", folder=tmp_path / "nowhere")
    with pytest.raises(MosaicError, match="subject None is not known"):
        reference.table(None)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("name,value,unit,condition,source,clause\na,1,mm,,,\n", "no column called evidence"),
        ("", "no column called name, value"),
        (HEAD + "a,four,mm,,,,invented\n", r"row 2, column value: 'four' is not a number"),
        (HEAD + "a,$4,mm,,,,invented\n", r"'\$4' is not a number"),
        (HEAD + 'a,"4,50",mm,,,,invented\n', r"'4,50' is not a number; type digits with a decimal point"),
        (HEAD + "a,nan,mm,,,,invented\n", "'nan' is not a number"),
        (HEAD + "a,1e999,mm,,,,invented\n", "must be a finite number"),
        (HEAD + "a,1_0,mm,,,,invented\n", "'1_0' is not a number"),
        (HEAD + ",,,,,,\na,1,mm,,,,guessed\n", "row 3, column evidence: 'guessed' is not known"),
        (HEAD + "a,1,mm,,,,read\n", "row 2: what is read needs a source"),
        (HEAD + ",1,mm,,,,invented\n", "row 2 has no name"),
        (HEAD + "a,1,mm,,,,invented,more\n", "more cells than the heading"),
        (HEAD + "a,1,mm,,,,invented\na,2,mm,,,,invented\n", "the name 'a' stands twice"),
        (HEAD + 'a,1,mm,"open,,,invented\n', "lone quotation mark"),
        (HEAD.encode() + "a,1,mm,käse,,,invented\n".encode("latin-1"), "not UTF-8"),
        (HEAD[:-1] + ",least\na,1,mm,,,,invented,2\n", "rise from least over value to greatest"),
        (HEAD[:-1] + ",price\na,1,mm,,,,invented,-2\n", "price of at least 0"),
        (HEAD[:-1] + ",price\na,0,mm,,,,invented,2\n", "amount above 0"),
    ],
)
def test_what_cannot_be_used_is_said_with_its_place(tmp_path, text, sentence):
    with pytest.raises(MosaicError, match=sentence) as caught:
        reference.table("things", folder=write(tmp_path, text))
    assert "things_test_2026.csv" in str(caught.value) or "finite" in sentence
    assert str(tmp_path) not in str(caught.value)


def test_a_table_saved_by_a_spreadsheet_in_its_own_ways(tmp_path):
    text = "\ufeffName;VALUE;unit;condition;source;clause;evidence;price;shop\r\n"
    text += "tiles;25;tiles;;;;invented;4,50;corner\r\n;;;;;;;;\r\n"
    (record,) = reference.table("things", folder=write(tmp_path, text))
    assert (record.name, record.value, record.price) == ("tiles", 25.0, 4.5)


def test_kept_until_the_file_is_saved_again(tmp_path):
    write(tmp_path, HEAD + "a,1,mm,,,,invented\n")
    first = reference.value("things", "a", folder=tmp_path)
    assert reference.value("things", "a", folder=tmp_path) is first
    write(tmp_path, HEAD + "a,2,mm,,,,invented\n")
    os.utime(tmp_path / "things_test_2026.csv", ns=(1, 1))  # a clock too coarse to tell the two savings apart
    assert reference.value("things", "a", folder=tmp_path).number == 2.0


@pytest.mark.parametrize("subject", ["backings", "coverage", "cure", "filler", "mechanics", "optics"])
def test_every_row_is_read_by_code(subject):
    """A figure that nothing computes with or shows does not stand in data/."""
    folder = reference.DATA.parent / "mosaiclib"
    read = "\n".join(path.read_text(encoding="utf-8") for path in folder.rglob("*.py"))
    read += "\n".join(text for kind in reference.table("kinds") for text in kind.more.values())
    named_by_step = re.compile(
        r"(share to|least wait to) (turn|fill|handle|wash)(, by lamp|, cement between dense faces)?"
    )
    for record in reference.table(subject):
        assert record.name in read or named_by_step.fullmatch(record.name), record.name
