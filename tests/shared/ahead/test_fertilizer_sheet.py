"""Rows as they are typed and pasted: taken in whole, or each fault told with its line."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.ahead.fertilizer_sheet import COLUMNS, MAKE, MOST_ROWS, row_of, rows_of, tables_from
from shared.languages import LANGUAGES, has

TITLES = "crop,nutrient,lab,method,level,amount,source,dated"
RIGHT = (
    "Sweet corn,n,,,,125,invented table 7,1/15/2024\nsweet corn,P2O5,Bracken,Mehlich 3,low,160,t 7,2024-01-15"
)


def test_rows_under_their_titles_are_taken_in_whatever_their_order():
    rows, faults = rows_of("rates", f"{TITLES}\n{RIGHT}\n\n")
    assert faults == []
    first, second = (MAKE["rates"](one) for one in rows)
    assert (first.nutrient, first.amount, first.dated) == ("N", 125.0, date(2024, 1, 15))
    assert (second.lab, second.level, second.amount) == ("Bracken", "low", 160.0)


@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_cells_may_be_set_apart_as_a_spreadsheet_or_a_file_does(sign):
    text = f"{TITLES}\n{RIGHT}".replace(",", sign)
    assert rows_of("rates", text)[1] == []


def test_spanish_titles_are_known_too():
    text = (
        "nombre;% de N;saco, lb;precio, $;fuente;fecha de la fuente\nurea;46;50;32.50;cooperativa;2026-02-01"
    )
    rows, faults = rows_of("materials", text)
    assert faults == []
    assert MAKE["materials"](rows[0]).holds("N") == 23.0


@pytest.mark.parametrize(
    ("line", "column", "key"),
    [
        (",N,,,,125,t,2024-01-15", "crop", "missing"),
        ("corn,Zn,,,,1,t,2024-01-15", "nutrient", "choice"),
        ("corn,N,,,,lots,t,2024-01-15", "amount", "number"),
        ("corn,N,,,,nan,t,2024-01-15", "amount", "number"),
        ("corn,N,,,,1_0,t,2024-01-15", "amount", "number"),
        ("corn,N,,,,-1,t,2024-01-15", "amount", "range"),
        ("corn,N,,,,inf,t,2024-01-15", "amount", "range"),
        ("corn,pH,,,,65,t,2024-01-15", "amount", "range"),
        ("corn,N,,,,125,t,soon", "dated", "day"),
        ("corn,N,,,,125,,2024-01-15", "source", "missing"),
        ("corn,P2O5,Bracken,,low,125,t,2024-01-15", "level", "level_and_lab"),
        ("corn,N,Bracken,Mehlich 3,low,125,t,2024-01-15", "level", "no_level_here"),
        ("corn,N,,,,125,t,2024-01-15,more", "", "too_many_cells"),
        (f"{'c' * 121},N,,,,125,t,2024-01-15", "crop", "too_long"),
    ],
)
def test_each_fault_is_told_with_its_line_and_column(line, column, key):
    _, faults = rows_of("rates", f"{TITLES}\n{RIGHT}\n{line}")
    assert [(one.line, one.column, one.key) for one in faults] == [(4, column, key)]


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("", "nothing_pasted"),
        ("\x00", "nothing_pasted"),
        (TITLES, "nothing_pasted"),
        (f'{TITLES}\n"corn', "not_a_table"),
        (f"{TITLES},colour\n{RIGHT}", "title"),
        (f"{TITLES},crop\n{RIGHT}", "title_twice"),
        (TITLES.replace(",source", ""), "no_column"),
        (f"{TITLES}\n" + "x\n" * (MOST_ROWS + 1), "too_many"),
        (f"{TITLES}\n{RIGHT}\n{RIGHT}", "twice"),
    ],
)
def test_what_is_no_table_is_told_at_once(text, key):
    _, faults = rows_of("rates", text)
    assert key in {one.key for one in faults}


@pytest.mark.parametrize(("n", "k", "key"), [("0", "0", "nothing_in_it"), ("60", "60", "over_100")])
def test_a_bag_holds_something_and_not_more_than_all(n, k, key):
    cells = {
        "name": "a",
        "n_pct": n,
        "k2o_pct": k,
        "bag_lb": "50",
        "price": "1",
        "source": "s",
        "dated": "2026-01-01",
    }
    assert [one.key for one in row_of("materials", cells)[1]] == [key]


def test_fineness_that_no_label_states_is_a_hundred():
    cells = {"name": "lime", "cce_pct": "94%", "price": "$38", "source": "quarry", "dated": "2026-01-01"}
    values, faults = row_of("limes", cells)
    assert faults == ()
    assert tables_from({"limes": [values]}).limes[0].fineness_pct == 100.0


def test_every_column_and_every_fault_has_its_words():
    for language in LANGUAGES:
        for columns in COLUMNS.values():
            assert all(has(language, f"fertilizer.column.{one.name}") for one in columns)


@given(st.sampled_from(sorted(COLUMNS)), st.text(max_size=300))
def test_nothing_that_is_pasted_breaks_it_and_every_fault_can_be_told(table, text):
    titles = ",".join(one.name for one in COLUMNS[table])
    for pasted in (text, f"{titles}\n{text}"):
        rows, faults = rows_of(table, pasted)
        assert all(has(one, f"fertilizer.fault.{fault.key}") for fault in faults for one in LANGUAGES)
        if not faults:
            assert [MAKE[table](one) for one in rows]
