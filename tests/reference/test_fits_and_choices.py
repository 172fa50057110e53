"""Functions against libraries of general purpose: scipy for fits, medians and packs, datetime for dates."""

from __future__ import annotations

import datetime
import itertools
import math
from typing import Any

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, curve_fit, milp
from scipy.stats import theilslopes

from fillfirst.formulas.due import find_due
from fillfirst.formulas.odometer import find_rate
from fillfirst.formulas.packs import choose_packs
from fillfirst.formulas.tightening import order_screws
from fillfirst.formulas.vin import read_vin
from fillfirst.formulas.warming import predict_crossing

TIMES = np.arange(0.0, 22.0, 2.0)
MEASURED = np.array([22.3, 30.2, 37.8, 43.6, 49.6, 54.6, 58.2, 61.5, 65.1, 67.7, 69.6])


def curve(time: Any, end: float, start: float, constant: float) -> Any:
    return end + (start - end) * np.exp(-time / constant)


def predict(times: Any, temperatures: Any, low: float, high: float, **more: float) -> dict[str, Any]:
    answer = predict_crossing(list(times), list(temperatures), low, high, 0.3, **more)
    assert "value" in answer
    return answer["value"]


# The fit --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("count", [4, 5, 6, 8, 11])
def test_end_of_the_curve_is_that_of_curve_fit(count: int) -> None:
    fitted, _ = curve_fit(curve, TIMES[:count], MEASURED[:count], p0=(80, 20, 10))

    found = predict(TIMES[:count], MEASURED[:count], 35, 45)

    assert found["settles_at"] == pytest.approx(fitted[0], abs=0.01)


@pytest.mark.parametrize("count", [5, 6, 8, 11])
def test_crossing_is_that_of_curve_fit(count: int) -> None:
    end, start, constant = curve_fit(curve, TIMES[:count], MEASURED[:count], p0=(80, 20, 10))[0]
    level = MEASURED[count - 1] + 4

    found = predict(TIMES[:count], MEASURED[:count], level, level + 100)

    assert found["enters_at"] == pytest.approx(-constant * math.log((level - end) / (start - end)), abs=0.01)


def test_crossing_with_a_known_end_is_that_of_curve_fit() -> None:
    start, constant = curve_fit(
        lambda time, start, constant: curve(time, 85, start, constant), TIMES[:4], MEASURED[:4], p0=(20, 10)
    )[0]

    found = predict(TIMES[:4], MEASURED[:4], 50, 60, settles_at=85.0)

    assert constant == pytest.approx(14.33, abs=0.01)
    assert found["enters_at"] == pytest.approx(-constant * math.log((50 - 85) / (start - 85)), abs=0.01)


def test_interval_of_the_end_is_as_wide_as_the_covariance_says() -> None:
    """With eleven readings the profile is nearly that of a parabola, so two standard errors either way."""
    covariance = curve_fit(curve, TIMES, MEASURED, p0=(80, 20, 10))[1]
    error = math.sqrt(covariance[0][0])

    found = predict(TIMES, MEASURED, 35, 45)

    assert error == pytest.approx(1.06, abs=0.01)
    assert (found["settles_to"] - found["settles_from"]) / 2 == pytest.approx(2.12 * error, rel=0.05)


def test_short_record_fixes_the_slope_and_not_the_end() -> None:
    found = predict(TIMES[:4], MEASURED[:4], 35, 45)

    assert found["settles_to"] - found["settles_from"] > 36
    assert found["leaves_to"] - found["leaves_from"] < 1


def test_interval_holds_the_truth_nineteen_times_in_twenty() -> None:
    """Thermometers drawn at random; the seed is fixed, so the count is too."""
    random = np.random.default_rng(7)
    true, times = -14 * math.log((50 - 85) / (22 - 85)), np.arange(0.0, 7.0)
    records = [curve(times, 85, 22, 14) + random.normal(0, 0.3, len(times)) for _ in range(300)]

    found = [predict(times, record, 50, 60) for record in records]

    held = [
        each["enters_from"] <= true <= each["enters_to"] for each in found if each["enters_at"] is not None
    ]
    assert len(held) > 290
    assert sum(held) / len(held) == pytest.approx(0.95, abs=0.03)


@pytest.mark.parametrize(
    ("temperatures", "outlook"),
    [
        ([20, 20.1, 19.9, 20.0], "cannot-tell"),
        ([40, 40.1, 39.9, 40.0], "inside"),
        ([60, 70, 77, 82], "past"),
        ([60, 50.2, 42.9, 37.4], "inside"),
        ([90, 75, 63.8, 55.4], "will-enter"),
        ([10, 18, 22.8, 25.7, 27.4, 28.4, 29.1], "will-not-enter"),
        ([10, 14, 18.1, 22], "will-enter"),
    ],
)
def test_outlook_is_told_in_one_word(temperatures: list[float], outlook: str) -> None:
    assert predict([5.0 * at for at in range(len(temperatures))], temperatures, 35, 45)["outlook"] == outlook


def test_one_reading_taken_thrice_is_one_reading() -> None:
    assert predict([5, 5, 5], [20, 20.2, 20.1], 35, 45)["outlook"] == "cannot-tell"


def test_two_lists_of_different_length_are_refused() -> None:
    assert "impossible" in predict_crossing([0, 1, 2], [20, 30], 35, 45, 0.3)


# Packs ----------------------------------------------------------------------------------------------

random = np.random.default_rng(11)
BASKETS = [
    (
        float(random.integers(100, 12000)) / 1e6,
        [
            float(each) / 1e6
            for each in random.choice([250, 500, 946, 1000, 1500, 2000, 4000, 5000], size, False)
        ],
        [float(each) for each in random.integers(3, 60, size)],
    )
    for size in (1, 2, 3, 4)
    for _ in range(6)
]


@pytest.mark.parametrize(("need", "sizes", "prices"), BASKETS)
def test_packs_cost_what_integer_programming_finds(
    need: float, sizes: list[float], prices: list[float]
) -> None:
    ml = np.round(np.array(sizes) * 1e6)
    solved = milp(
        prices, constraints=LinearConstraint([ml], round(need * 1e6), np.inf), integrality=np.ones(len(ml))
    )

    found = choose_packs(need, sizes, prices)["value"]

    assert found["price"] == pytest.approx(solved.fun)
    assert found["volume"] >= need
    assert found["left_over"] == pytest.approx(found["volume"] - need)


@pytest.mark.parametrize(("need", "sizes", "prices"), BASKETS)
def test_packs_without_prices_leave_as_little_over_as_can_be(
    need: float, sizes: list[float], prices: list[float]
) -> None:
    ml = [round(size * 1e6) for size in sizes]
    wanted = round(need * 1e6)
    ways = itertools.product(*(range(-(-wanted // each) + 1) for each in ml))
    best = min(
        (sum(n * each for n, each in zip(way, ml, strict=True)), sum(way))
        for way in itertools.islice(ways, 400_000)
        if sum(n * each for n, each in zip(way, ml, strict=True)) >= wanted
    )

    found = choose_packs(need, sizes)["value"]

    assert (round(found["volume"] * 1e6), sum(found["counts"])) == best
    assert found["price"] is None


def test_nothing_is_bought_for_nothing() -> None:
    assert choose_packs(0.0, [0.001, 0.005], [9, 40])["value"]["counts"] == [0, 0]


@pytest.mark.parametrize(("sizes", "prices"), [([], None), ([0.001], [1.0, 2.0]), ([0.0], None)])
def test_packs_that_make_no_sense_are_refused(sizes: list[float], prices: list[float] | None) -> None:
    assert "impossible" in choose_packs(0.005, sizes, prices)


# Screws ---------------------------------------------------------------------------------------------


def lay_round(count: int) -> tuple[list[float], list[float]]:
    turns = [2 * math.pi * each / count for each in range(count)]
    return [math.sin(turn) / 10 for turn in turns], [math.cos(turn) / 10 for turn in turns]


@pytest.mark.parametrize(
    ("count", "order"),
    [
        (4, [1, 3, 2, 4]),
        (8, [1, 5, 3, 7, 2, 6, 4, 8]),
        (12, [1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]),
        (16, [1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16]),
    ],
)
def test_round_cover_is_tightened_in_the_cross_pattern_of_the_standard(count: int, order: list[int]) -> None:
    assert order_screws(*lay_round(count))["value"]["order"] == order


@pytest.mark.parametrize("count", range(6, 24, 2))
def test_second_of_a_pair_lies_across_from_the_first(count: int) -> None:
    order = order_screws(*lay_round(count))["value"]["order"]

    assert {(second - first) % count for first, second in zip(order[::2], order[1::2], strict=True)} == {
        count / 2
    }


def lay_pan(across: int, along: int) -> list[tuple[float, float]]:
    """Screws round the edge of a rectangle, 60 mm apart."""
    edge = [(each, 0) for each in range(across)] + [(across - 1, each) for each in range(1, along)]
    back = [(each, along - 1) for each in range(across - 2, -1, -1)] + [
        (0, each) for each in range(along - 2, 0, -1)
    ]
    return [(0.06 * x, 0.06 * y) for x, y in edge + back]


@pytest.mark.parametrize(("across", "along"), [(5, 3), (7, 4), (6, 3), (4, 4)])
def test_pan_is_tightened_from_the_middle_to_the_corners(across: int, along: int) -> None:
    places = lay_pan(across, along)
    middle = (0.03 * (across - 1), 0.03 * (along - 1))

    order = order_screws([x for x, _ in places], [y for _, y in places])["value"]["order"]

    far = [math.dist(places[int(each) - 1], middle) for each in order]
    assert sorted(order) == list(range(1, len(places) + 1))
    assert all(later >= earlier * (1 - 0.12) for earlier, later in itertools.pairwise(far[::2]))
    assert min(far[-4:]) >= 0.88 * max(far)


def test_odd_pan_is_tightened_crosswise_too() -> None:
    """A pan with a step in one side: no screw follows its neighbour while a far one is still loose."""
    x = [0.0, 0.08, 0.16, 0.24, 0.28, 0.28, 0.22, 0.14, 0.06, 0.0, 0.0]
    y = [0.0, 0.0, 0.0, 0.02, 0.08, 0.16, 0.18, 0.18, 0.18, 0.14, 0.07]

    order = order_screws(x, y)["value"]["order"]

    steps = [abs(second - first) % 11 for first, second in itertools.pairwise(order[:8])]
    assert sorted(order) == list(range(1, 12))
    assert all(2 <= step <= 9 for step in steps)


@pytest.mark.parametrize(("x", "y"), [([], []), ([0.0, 1.0], [0.0])])
def test_screws_without_places_are_refused(x: list[float], y: list[float]) -> None:
    assert "impossible" in order_screws(x, y)


def test_one_screw_is_an_order() -> None:
    assert order_screws([0.2], [0.1])["value"]["order"] == [1]


# Rate, date, number ---------------------------------------------------------------------------------

LOGS = [
    (
        sorted(float(each) for each in random.integers(0, 400, size)),
        [float(each) for each in 40000 + np.cumsum(random.integers(200, 900, size))],
    )
    for size in (3, 4, 6, 9, 15)
    for _ in range(4)
]


@pytest.mark.parametrize(("days", "distances"), [log for log in LOGS if len(set(log[0])) > 2])
def test_rate_with_its_interval_is_that_of_theilslopes(days: list[float], distances: list[float]) -> None:
    slopes = theilslopes(distances, days)

    found = find_rate(days, distances)["value"]

    assert [found["rate"], found["rate_from"], found["rate_to"]] == pytest.approx(
        [slopes.slope, max(slopes.low_slope, 0), slopes.high_slope]
    )


def test_two_days_give_a_rate_and_no_interval() -> None:
    assert find_rate([0, 10], [100, 400])["value"] == {"rate": 30, "rate_from": None, "rate_to": None}


@pytest.mark.parametrize(
    ("days", "distances"), [([], []), ([5], [100]), ([5, 5], [100, 200]), ([0, 9], [200, 100])]
)
def test_rate_that_cannot_be_told_is_none(days: list[float], distances: list[float]) -> None:
    assert find_rate(days, distances)["value"]["rate"] is None


def test_readings_without_days_are_refused() -> None:
    assert "impossible" in find_rate([0, 1], [100])


@pytest.mark.parametrize("start", ["1999-12-31", "2000-02-28", "2024-02-29", "2023-03-01", "2100-02-28"])
@pytest.mark.parametrize("days", [0, 1, 59, 365, 366, 1461, 40000])
def test_days_are_counted_as_datetime_does(start: str, days: int) -> None:
    due = datetime.date.fromisoformat(start) + datetime.timedelta(days)

    found = find_due(start, distance=days * 1000.0 + 1, rate=1000.0 / 86400)

    assert found["value"] == {"date": due.isoformat(), "by": "distance"}


@pytest.mark.parametrize(
    ("start", "months", "due"),
    [("2024-01-31", 1, "2024-02-29"), ("2023-01-31", 1, "2023-02-28"), ("2024-02-29", 12, "2025-02-28")],
)
def test_month_without_that_day_ends_earlier(start: str, months: int, due: str) -> None:
    assert find_due(start, time=months * 365.25 * 86400 / 12)["value"]["date"] == due


def test_car_that_hardly_moves_is_due_at_the_end_of_the_calendar() -> None:
    assert find_due("2024-03-10", distance=1e8, rate=1e-6)["value"]["date"] == "9999-12-31"


@pytest.mark.parametrize("date", ["", "10.03.2024", "2024-13-01", "2023-02-29", "2024-3-10"])
def test_day_that_is_none_is_refused(date: str) -> None:
    assert "impossible" in find_due(date, time=1e8)


def test_due_without_an_interval_is_refused() -> None:
    assert "impossible" in find_due("2024-03-10", distance=1e7)


@pytest.mark.parametrize("place", [place for place in range(17) if place != 8])
def test_check_digit_finds_a_digit_that_was_raised_by_one(place: int) -> None:
    vin = "1G4AH59H45G118341"
    letter = vin[place]
    wrong = vin[:place] + (str((int(letter) + 1) % 10) if letter.isdigit() else "Z") + vin[place + 1 :]

    assert read_vin(wrong)["value"]["agrees"] is False


@pytest.mark.parametrize(
    "vin", ["", "1G4AH59H45G11834", "1G4AH59H45G1183411", "IG4AH59H45G118341", "1G4AH59H45G11834-"]
)
def test_number_that_is_no_vin_is_refused(vin: str) -> None:
    assert "impossible" in read_vin(vin)


def test_vin_may_be_typed_small() -> None:
    assert read_vin(" 1g4ah59h45g118341 ")["value"]["agrees"] is True


def test_model_year_that_no_code_gives_is_none() -> None:
    assert read_vin("1G4AH59H40G118341")["value"]["year"] is None
