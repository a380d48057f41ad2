// SPDX-License-Identifier: MIT
// Where sums of deflections turn, against very many samples of random lines, and against what is known of simple ones.
#include <random>

#include "lines.h"

using namespace spanwright::beam;
using namespace spanwright::beam::lines;

namespace {

struct Term {
    Solved beam;
    std::vector<double> factors;
    bool least = false;
    double times = 1.0;
};

std::vector<double> turnsOf(const std::vector<Term>& terms, double from, double to) {
    std::vector<SagTerm> asked;
    for (const Term& t : terms) asked.push_back({&t.beam, &t.factors, t.least, t.times});
    std::vector<double> out;
    REQUIRE(addSagTurns(asked, from, to, out));
    return out;
}

double sumAt(const std::vector<Term>& terms, double x) {
    double sum = 0.0;
    for (const Term& t : terms) {
        const Range3 sag = t.beam.deflection(x, t.factors);
        sum += t.times * (t.least ? sag.least : sag.most);
    }
    return sum;
}

/// Between breaks and turns the sum only rises or only falls.
void nothingBetween(const std::vector<Term>& terms, double from, double to) {
    std::vector<double> breaks{from, to};
    for (const Term& t : terms)
        for (const double b : t.beam.breaks())
            if (b > from && b < to) breaks.push_back(b);
    std::sort(breaks.begin(), breaks.end());
    breaks.erase(std::unique(breaks.begin(), breaks.end()), breaks.end());
    std::vector<double> places = breaks;
    for (std::size_t piece = 1; piece < breaks.size(); ++piece) {
        const std::vector<double> turns = turnsOf(terms, breaks[piece - 1], breaks[piece]);
        for (const double x : turns) {
            CHECK(x > breaks[piece - 1]);
            CHECK(x < breaks[piece]);
        }
        places.insert(places.end(), turns.begin(), turns.end());
    }
    std::sort(places.begin(), places.end());
    double size = 0.0;
    for (const Term& t : terms)
        for (int k = 0; k <= 40; ++k) {
            const Range3 sag = t.beam.deflection(from + (to - from) * k / 40.0, t.factors);
            size = std::max({size, std::fabs(t.times * sag.least), std::fabs(t.times * sag.most)});
        }
    for (std::size_t i = 1; i < places.size(); ++i) {
        const double a = places[i - 1], b = places[i], left = sumAt(terms, a), right = sumAt(terms, b);
        double before = left;
        for (int k = 1; k < 60; ++k) {
            const double here = sumAt(terms, a + (b - a) * k / 60.0), slack = 1e-11 * size;
            if (left <= right ? here < before - slack : here > before + slack) FAIL_CHECK("between ", a, " and ", b, " it turns at ", a + (b - a) * k / 60.0);
            before = here;
        }
    }
}

} // namespace

TEST_CASE("between turns and breaks a sum of deflections only rises or only falls") {
    std::mt19937 random(1207);
    const auto some = [&](double low, double high) { return low + (high - low) * static_cast<double>(random() % 10'000) / 10'000.0; };
    for (int round = 0; round < 120; ++round) {
        std::vector<Support> supports;
        const std::size_t count = 1 + random() % 4;
        double x = random() % 3 == 0 ? 0.0 : some(0.0, 1.0);
        for (std::size_t i = 0; i < count; ++i) {
            supports.push_back(count == 1 || random() % 5 == 0 ? fixed(x) : simple(x, random() % 4 == 0 ? some(-0.01, 0.01) : 0.0));
            x += some(0.8, 3.0);
        }
        const double length = supports.back().at + (random() % 3 == 0 && count > 1 ? 0.0 : some(0.1, 1.2));
        std::vector<Load> loads{uniform(some(0.5, 3.0), 0.0, length, 0), eachSpan(uniform(some(-2.0, 4.0), 0.0, length, 1))};
        if (random() % 2 == 0) loads.push_back(eachSpan(trapezoid(some(-3.0, 3.0), some(-3.0, 3.0), some(0.0, length / 2), some(length / 2, length), 1)));
        if (random() % 2 == 0) loads.push_back(trapezoid(some(-3.0, 3.0), some(-3.0, 3.0), 0.0, length, 2));
        if (random() % 2 == 0) loads.push_back(eachSpan(point(some(-5.0, 5.0), some(0.0, length), 1)));
        if (random() % 3 == 0) loads.push_back(couple(some(-2.0, 2.0), some(0.0, length), 2));
        Line one = line(length, supports, loads, 1e3, random() % 2 == 0 ? 2e4 : 0.0);
        one.actionCount = 3;
        // Another one, of another stiffness, with loads that begin elsewhere.
        Line other =
            line(length, supports, {uniform(some(-1.0, 2.0), some(0.0, length / 2), length, 0), eachSpan(point(some(-5.0, 5.0), length / 3, 1))}, 400.0);
        other.actionCount = 3;
        const Solved a = solved(one), b = solved(other);
        nothingBetween({{a, {1.0, 1.0, 1.0}}}, 0.0, length);
        nothingBetween({{a, {1.35, -1.5, 0.9}, true}}, 0.0, length);
        nothingBetween({{a, {1.0, 0.0, 0.0}, false, 1.6}, {a, {0.0, 1.0, 0.0}, false, 1.18}}, 0.0, length);
        nothingBetween({{a, {0.0, 1.0, 1.0}, true, -0.7}, {b, {1.0, 1.0, 0.0}, false, some(-1.0, 1.0)}, {a, {0.3, 0.0, 0.0}}}, 0.0, length);
        nothingBetween({{a, {1.0, 1.0, 0.0}}, {b, {1.0, 0.5, 0.0}, true}}, length / 7.0, length / 1.3);
    }
}

TEST_CASE("deflections whose turns are known") {
    const std::vector<double> one{1.0};
    const Solved middle = solved(line(4.0, {simple(0.0), simple(4.0)}, {uniform(2.0, 0.0, 4.0)}, 1e3, 1e4));
    std::vector<double> turns = turnsOf({{middle, one}}, 0.0, 4.0);
    REQUIRE(turns.size() == 1);
    CHECK(std::fabs(turns.front() - 2.0) < 1e-14);
    CHECK(turnsOf({{middle, one}}, 0.0, 1.9).empty());
    turns = turnsOf({{middle, one}}, 1.5, 3.0); // a part of a cell
    REQUIRE(turns.size() == 1);
    CHECK(std::fabs(turns.front() - 2.0) < 1e-14);
    // A load that rises from nothing: 0.5193 of the span (sqrt(1 - sqrt(8/15)), Roark's Formulas for Stress and Strain, from memory).
    const Solved rising = solved(line(1.0, {simple(0.0), simple(1.0)}, {trapezoid(0.0, 3.0, 0.0, 1.0)}, 10.0));
    turns = turnsOf({{rising, one}}, 0.0, 1.0);
    REQUIRE(turns.size() == 1);
    CHECK(std::fabs(turns.front() - std::sqrt(1.0 - std::sqrt(8.0 / 15.0))) < 1e-12);
    // Held at one end, propped at the other: 0.4215 of the span from the prop ((1 + sqrt(33))/16, the same source).
    const Solved propped = solved(line(1.0, {simple(0.0), fixed(1.0)}, {uniform(3.0, 0.0, 1.0)}, 10.0));
    turns = turnsOf({{propped, one}}, 0.0, 1.0);
    REQUIRE(!turns.empty());
    CHECK(std::fabs(turns.front() - (1.0 + std::sqrt(33.0)) / 16.0) < 1e-12);
    // What takes itself away turns nowhere: of lines of their own, of which it is not known that they are alike. Of one and the same line under an even load
    // the middle is named whatever is left of it.
    const Solved again = solved(line(4.0, {simple(0.0), simple(4.0)}, {uniform(2.0, 0.0, 4.0)}, 1e3, 1e4));
    CHECK(turnsOf({{middle, one}, {again, one, false, -1.0}}, 0.0, 4.0).empty());
    CHECK(turnsOf({{middle, one}, {middle, one, false, -1.0}}, 0.0, 4.0) == std::vector<double>{2.0});
    CHECK(turnsOf({{middle, one}}, 0.0, 4.0) == std::vector<double>{2.0});
}

TEST_CASE("where nothing is known of turns, that is said") {
    const std::vector<double> one{1.0};
    std::vector<double> out;
    Line tapered = line(4.0, {simple(0.0), simple(4.0)}, {uniform(2.0, 0.0, 4.0)}, 1e3);
    tapered.constantStiffness = false;
    tapered.ei = varying([](double x) { return 1e3 * (1.0 + x); });
    Line soft = line(4.0, {simple(0.0), simple(4.0)}, {uniform(2.0, 0.0, 4.0)}, 1e3);
    soft.ei = {};
    const Solved good = solved(line(4.0, {simple(0.0), simple(4.0)}, {uniform(2.0, 0.0, 4.0)}, 1e3));
    const Solved varied = solved(tapered), unknown = solved(soft), nothing;
    for (const Solved* bad : {&varied, &unknown, &nothing}) {
        const SagTerm terms[] = {{&good, &one, false, 1.0}, {bad, &one, false, 1.0}};
        CHECK_FALSE(addSagTurns(terms, 0.0, 4.0, out));
    }
    const std::vector<double> none;
    const SagTerm few[] = {{&good, &none, false, 1.0}};
    CHECK_FALSE(addSagTurns(few, 0.0, 4.0, out));
    const SagTerm huge[] = {{&good, &one, false, 1e308}, {&good, &one, false, 1e308}};
    static_cast<void>(addSagTurns(huge, 0.0, 4.0, out)); // whatever it says, no place comes of it that is no number
    for (const double x : out) CHECK((x > 0.0 && x < 4.0));
}
