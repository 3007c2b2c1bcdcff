"""The command line over every computation: names, help, answers, and a clear refusal of anything else."""

from __future__ import annotations

import inspect
import io
import json
import math
import re
from contextlib import suppress
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared.errors import InputError, MissingInput, UnknownName
from shared.languages import LANGUAGES, has, say
from shared.reckoning.__main__ import main
from shared.reckoning.computation import Computation, Input, as_answer
from shared.reckoning.table import RECKONER, computation

NAMES = list(RECKONER)
COMPUTATIONS = list(RECKONER.values())


def ran(*words):
    """Exit status, standard output, standard error."""
    out, err = io.StringIO(), io.StringIO()
    status = main(words, out, err)
    return status, out.getvalue(), err.getvalue()


def example(of: Computation) -> dict[str, str]:
    """The examples of what must be given, and of one where a computation takes one input or another."""
    texts = {one.name: one.example for one in of.inputs if one.example and not one.optional}
    try:
        of.run(**of.read(texts))
    except MissingInput as missing:
        texts[missing.name] = of.takes(missing.name).example
    return texts


def words(texts: dict[str, str]) -> list[str]:
    return [f"{name}={text}" for name, text in texts.items()]


def refused(status: int, out: str, err: str) -> dict[str, str]:
    """The problem of a refusal, shown to be one line of JSON on standard error and nothing else."""
    assert (status, out) == (2, "")
    assert err.count("\n") == 1
    problem = json.loads(err)
    assert {"code", "input", "range", "detail"} <= problem.keys()
    return problem


def finite(value) -> bool:
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, dict):
        return all(finite(each) for each in value.values())
    return all(finite(each) for each in value) if isinstance(value, list) else True


def test_without_a_name_all_names_are_listed():
    status, out, _ = ran()
    assert status == 0
    assert out.split() == NAMES


def test_the_overview_gives_each_a_title():
    _, out, _ = ran("--help")
    assert all(say("en", f"reckoner.{name}.title") in out for name in NAMES)


@pytest.mark.parametrize("of", COMPUTATIONS, ids=NAMES)
def test_help_tells_each_input_with_unit_and_range_and_the_source(of):
    status, out, err = ran(of.name, "--help")
    assert (status, err) == (0, "")
    assert of.source in out
    assert of.formula in out
    for one in of.inputs:
        assert f"  {one.name}: " in out
        assert one.allowed() in out
        assert one.unit in out


@pytest.mark.parametrize("of", COMPUTATIONS, ids=NAMES)
def test_an_example_is_answered_with_the_keys_of_its_answer(of):
    status, out, err = ran(of.name, *words(example(of)))
    assert (status, err) == (0, ""), err
    told = json.loads(out)
    assert list(told) == ["answer", "source", "caution"]
    assert told["source"] == of.source != ""
    assert of.units.keys() <= told["answer"].keys()
    assert finite(told["answer"])
    if of.caution:
        assert told["caution"]


@pytest.mark.parametrize("of", COMPUTATIONS, ids=NAMES)
def test_a_default_is_the_same_for_a_caller_and_for_the_command_line(of):
    parameters = inspect.signature(of.run).parameters
    assert list(parameters) == [one.name for one in of.inputs]
    for one in of.inputs:
        if one.optional:
            assert parameters[one.name].default == one.default, one.name


@pytest.mark.parametrize("of", COMPUTATIONS, ids=NAMES)
def test_the_function_behind_a_name_gives_the_same_answer(of):
    _, out, _ = ran(of.name, *words(example(of)))
    direct = as_answer(of.run(**of.read(example(of))))
    assert json.loads(out)["answer"] == json.loads(json.dumps(direct, default=date.isoformat))


@pytest.mark.parametrize(
    ("of", "one"),
    [(of, one) for of in COMPUTATIONS for one in of.inputs if not one.optional],
    ids=[f"{of.name}-{one.name}" for of in COMPUTATIONS for one in of.inputs if not one.optional],
)
def test_a_missing_input_is_named_with_its_range(of, one):
    texts = example(of)
    del texts[one.name]
    problem = refused(*ran(of.name, *words(texts)))
    assert (problem["code"], problem["input"]) == ("missing_input", one.name)
    assert problem["range"] == one.allowed()


def beyond(one: Input) -> list[str]:
    """Texts that this input can't take."""
    number = ["nan", "inf", "-inf", "1e999", "ten", "", "1_000", "٣", "0x10", "1,5,x"]
    if one.low is not None:
        number.append(repr(one.low if one.above_low else math.nextafter(one.low, -math.inf)))
    if one.high is not None:
        number.append(repr(math.nextafter(one.high, math.inf)))
    match one.shape:
        case "number":
            return number
        case "count":
            return [*number, "1.5"]
        case "flag":
            return ["1", "yes", "", "maybe"]
        case "choice":
            return ["", "none of these", one.choices[0] + " x"]
        case "date":
            return ["", "2024-02-30", "20240229", "2024-2-9", "29/02/2024", "2024-W01-1", "yesterday"]
        case "numbers":
            return [each for each in number if "," not in each] + ["1,,2", "1;2", "nan,1"]
        case "choices":
            return ["", "none of these", f"{one.choices[0]},"]
        case "dates":
            return ["2024-02-30", "2024-01-01,", "2024-01-01;2024-01-02", *([""] if one.least else [])]
        case "pairs" | "ring":
            return ["", "1", "1:2:3", "a:b", "1:nan", "nan:1", "1:2,", ":"]
    return []


CASES = [(of, one, text) for of in COMPUTATIONS for one in of.inputs for text in beyond(one)]


@pytest.mark.parametrize("of", COMPUTATIONS, ids=NAMES)
def test_what_an_input_can_not_take_is_refused_by_its_name(of):
    for one in of.inputs:
        for text in beyond(one):
            problem = refused(*ran(of.name, *words({**example(of), one.name: text})))
            assert problem["input"] == one.name, (text, problem)
            assert problem["range"], text
            assert one.name in problem["detail"]


def test_every_shape_of_input_is_put_to_the_test():
    assert {one.shape for _, one, _ in CASES} >= {
        "number",
        "count",
        "choice",
        "flag",
        "date",
        "numbers",
        "ring",
    }
    assert len(CASES) > 500


@pytest.mark.parametrize(
    ("texts", "code", "name"),
    [
        (["leaf_dept", "area_ac=1"], "unknown_name", "name"),
        (["leaf_depth", "yards_yd3=1", "area_ac=1", "acres=2"], "unknown_input", "acres"),
        (["leaf_depth", "yards_yd3=1", "yards_yd3=2", "area_ac=1"], "unparsable", "yards_yd3"),
        (["leaf_depth", "3100"], "unparsable", "3100"),
        (["leaf_depth"], "missing_input", "yards_yd3"),
        (["nosuch", "--help"], "unknown_name", "name"),
        (["land_area", "ring=0:0,0:1,1:0,1:1"], "out_of_range", "ring"),
        (["land_area", "ring=0:0,0:1"], "out_of_range", "ring"),
        (["firmness", "peaks_psi=300,400", "moistures=ready"], "out_of_range", "moistures"),
    ],
)
def test_a_line_that_says_something_else_is_refused(texts, code, name):
    problem = refused(*ran(*texts))
    assert (problem["code"], problem["input"]) == (code, name)


def test_an_unknown_name_lists_the_known_ones():
    with pytest.raises(UnknownName) as unknown:
        computation("leafdepth")
    assert unknown.value.known == tuple(NAMES)


TEXT = st.text(st.characters(exclude_categories=()), max_size=40)
NUMBERS = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True).map(repr),
    st.integers(-(10**12), 10**12).map(str),
    st.decimals(-1_000, 1_000, places=2).map(str),
    st.sampled_from(
        ["1e308", "-1e308", "1e-308", "5e-324", "-0", "+1", "1E5", "9" * 400, "0." + "0" * 400 + "1"]
    ),
)


def plausible(one: Input) -> st.SearchStrategy[str]:
    """Texts that this input may well take, so that the arithmetic behind it is reached."""
    low = one.low if one.low is not None else -1e6
    high = one.high if one.high is not None else 1e6
    number = st.floats(low, high).map(repr)
    match one.shape:
        case "number":
            return st.one_of(number, st.just(repr(high)), st.just(repr(math.nextafter(low, math.inf))))
        case "count":
            return st.integers(math.ceil(low), math.floor(high)).map(str)
        case "flag":
            return st.sampled_from(["true", "false"])
        case "choice":
            return st.sampled_from(one.choices)
        case "date":
            return st.dates().map(date.isoformat)
        case "numbers":
            return st.lists(number, min_size=one.least, max_size=max(12, one.least)).map(",".join)
        case "choices":
            return st.lists(st.sampled_from(one.choices), min_size=one.least, max_size=12).map(",".join)
        case "dates":
            return st.lists(st.dates().map(date.isoformat), min_size=1, max_size=8).map(",".join)
        case "pairs" | "ring":
            key = st.floats(one.key_low if one.key_low is not None else -1e6, one.key_high or 1e6).map(repr)
            pair = st.tuples(key, number).map(":".join)
            return st.lists(pair, min_size=one.least, max_size=8).map(",".join)
    return TEXT


def texts_for(of: Computation) -> st.SearchStrategy[dict[str, str]]:
    wild = st.one_of(NUMBERS, TEXT, st.sampled_from(["", ",", ":", "true", "2024-02-29", "1:1,2:2"]))
    each = {
        one.name: st.one_of(st.just(one.example), plausible(one), plausible(one), wild) for one in of.inputs
    }
    needed = {one.name: each[one.name] for one in of.inputs if not one.optional}
    spare = {one.name: each[one.name] for one in of.inputs if one.optional}
    return st.fixed_dictionaries(needed, optional=spare)


@pytest.mark.parametrize("of", COMPUTATIONS, ids=NAMES)
def test_whatever_is_typed_gets_a_finite_answer_or_a_clear_refusal(of):
    answered = []

    @settings(max_examples=150)
    @given(texts_for(of))
    def check(texts):
        status, out, err = ran(of.name, *words(texts))
        if status == 0:
            assert err == ""
            told = json.loads(out)
            assert finite(told["answer"]), texts
            answered.append(texts)
        else:
            refused(status, out, err)

    check()
    # A fuzz that never reaches the arithmetic shows nothing.
    assert answered


@settings(max_examples=300)
@given(st.lists(TEXT, max_size=5))
def test_any_words_at_all_are_answered_or_refused(line):
    status, out, err = ran(*line)
    if status == 0:
        assert err == ""
        assert out
    else:
        refused(status, out, err)


@settings(max_examples=200)
@given(st.data())
def test_no_value_handed_straight_to_a_function_ends_in_anything_but_an_answer_or_an_input_error(data):
    of = data.draw(st.sampled_from(COMPUTATIONS))
    anything = st.one_of(
        st.none(),
        st.booleans(),
        st.integers(),
        st.floats(),
        st.text(max_size=5),
        st.lists(st.one_of(st.floats(), st.none(), st.text(max_size=2)), max_size=4),
        st.dates(),
        st.datetimes(),
        st.decimals(),
        st.just(10**400),
    )
    values = {one.name: data.draw(anything) for one in of.inputs}
    with suppress(InputError):
        assert as_answer(of.run(**values))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_computation_input_answer_and_caution_has_its_words(language):
    keys = set()
    for of in COMPUTATIONS:
        keys |= {f"reckoner.{of.name}.title", f"reckoner.{of.name}.help"}
        keys |= {f"reckoner.input.{one.name}" for one in of.inputs}
        keys |= {f"reckoner.answer.{key}" for key in as_answer(of.run(**of.read(example(of))))}
        keys |= {of.caution} if of.caution else set()
    assert {key for key in keys if not has(language, key)} == set()


def test_a_source_from_memory_says_so():
    for name in ("frost_depth", "quadrats_needed_clumped"):
        assert "from memory, unconfirmed" in RECKONER[name].source
    assert all(re.search(r"\w{3}", of.source) for of in COMPUTATIONS)
