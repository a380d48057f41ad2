// SPDX-License-Identifier: MIT
// Every row of tests/reference/us/beam_formulas.csv. The titles of the cases are those of AWC Design Aid 6;
// the expressions are from memory (the table says so in each row), and were verified there by an
// independent stiffness solution, whose values are the last column compared here.
#include "tests/engine/beam/reference_rows.h"

using namespace spanwright::beam;
using namespace spanwright::beam::lines;

namespace {

constexpr double E = 1.6e6, I = 98.93, EI = E * I, l = 180.0, w = 66.6667 / 12.0, P = 1000.0, W = 1000.0; // psi, in4, in, lb/in, lb

Solved simpleBeam(std::vector<Load> loads) { return solved(line(l, {simple(0), simple(l)}, std::move(loads), EI)); }
Solved cantilever(std::vector<Load> loads) { return solved(line(72, {fixed(72)}, std::move(loads), EI)); } // free at the left
Solved propped(std::vector<Load> loads) { return solved(line(l, {simple(0), fixed(l)}, std::move(loads), EI)); }
Solved clamped(std::vector<Load> loads) { return solved(line(l, {fixed(0), fixed(l)}, std::move(loads), EI)); }
Solved overhanging(std::vector<Load> loads) { return solved(line(l + 48, {simple(0), simple(l)}, std::move(loads), EI)); }
Solved twoSpans(std::vector<Load> loads) { return solved(line(2 * l, {simple(0), simple(l), simple(2 * l)}, std::move(loads), EI)); }

/// A moment (or deflection) at x that must be the largest between a and b.
double peakMoment(const Solved& s, double x, double a, double b) {
    CHECK(peaks([&](double at) { return s.moment(at, kOne).greatest(); }, x, a, b));
    return momentAt(s, x);
}
double peakSag(const Solved& s, double x, double a, double b) {
    CHECK(peaks([&](double at) { return sagAt(s, at); }, x, a, b));
    return sagAt(s, x);
}

void addSimpleSpans(Finders& f) {
    const auto one = [] { return simpleBeam({uniform(w, 0, l)}); };
    f[{"1", "R=V"}] = [=] {
        CHECK(shearAt(one(), 0) == reactionAt(one(), 0));
        return Found{reactionAt(one(), 0), w * l / 2};
    };
    f[{"1", "Mmax at centre"}] = [=] { return Found{peakMoment(one(), l / 2, 0, l), w * l * l / 8}; };
    f[{"1", "dmax at centre"}] = [=] { return Found{peakSag(one(), l / 2, 0, l), 5 * w * std::pow(l, 4) / (384 * EI)}; };
    f[{"1", "d at x=l/4"}] = [=] {
        const double x = l / 4;
        return Found{sagAt(one(), x), w * x * (l * l * l - 2 * l * x * x + x * x * x) / (24 * EI)};
    };

    const auto two = [] { return simpleBeam({uniform(w, 40, 120)}); };
    f[{"2", "R1"}] = [=] { return Found{reactionAt(two(), 0), w * 80 * (2 * 60 + 80) / (2 * l)}; };
    f[{"2", "R2"}] = [=] { return Found{reactionAt(two(), 1), w * 80 * (2 * 40 + 80) / (2 * l)}; };
    f[{"2", "Mmax at x=a+R1/w"}] = [=] {
        const double r = w * 80 * 200 / (2 * l);
        return Found{peakMoment(two(), 40 + r / w, 0, l), r * (40 + r / (2 * w))};
    };

    // The table prints 133.3333; its values come from twice the 66.6667 plf.
    const double w2 = 2 * w, a = 50, c = 60;
    const auto four = [=] { return simpleBeam({uniform(w, 0, a), uniform(w2, l - c, l)}); };
    const double r2 = (w2 * c * (2 * l - c) + w * a * a) / (2 * l);
    f[{"4", "R1"}] = [=] { return Found{reactionAt(four(), 0), (w * a * (2 * l - a) + w2 * c * c) / (2 * l)}; };
    f[{"4", "R2"}] = [=] { return Found{reactionAt(four(), 1), r2}; };
    f[{"4", "Mmax (R2<w2*c: at R2/w2 from right)"}] = [=] { return Found{peakMoment(four(), l - r2 / w2, 0, l), r2 * r2 / (2 * w2)}; };

    const auto five = [] { return simpleBeam({trapezoid(0, 2 * W / l, 0, l)}); };
    f[{"5", "R1"}] = [=] { return Found{reactionAt(five(), 0), W / 3}; };
    f[{"5", "R2=Vmax"}] = [=] {
        CHECK(near(shearAt(five(), l), -2 * W / 3, 1e-12));
        return Found{reactionAt(five(), 1), 2 * W / 3};
    };
    f[{"5", "Mmax at x=l/sqrt(3)"}] = [=] { return Found{peakMoment(five(), l / std::sqrt(3.0), 0, l), 2 * W * l / (9 * std::sqrt(3.0))}; };
    f[{"5", "dmax at x=0.5193*l"}] = [=] {
        const double x = l * std::sqrt(1 - std::sqrt(8.0 / 15.0));
        const double exact = W * x * (3 * std::pow(x, 4) - 10 * l * l * x * x + 7 * std::pow(l, 4)) / (180 * EI * l * l);
        return Found{peakSag(five(), x, 0, l), exact, 5e-4}; // printed with 0.01304
    };

    const auto six = [] { return simpleBeam({trapezoid(0, 2 * W / l, 0, l / 2), trapezoid(2 * W / l, 0, l / 2, l)}); };
    f[{"6", "R=V"}] = [=] { return Found{reactionAt(six(), 0), W / 2}; };
    f[{"6", "Mmax at centre"}] = [=] { return Found{peakMoment(six(), l / 2, 0, l), W * l / 6}; };
    f[{"6", "dmax at centre"}] = [=] { return Found{peakSag(six(), l / 2, 0, l), W * l * l * l / (60 * EI)}; };

    const double pa = 110, pb = 70;
    const auto eight = [=] { return simpleBeam({point(P, pa)}); };
    f[{"8", "R1"}] = [=] { return Found{reactionAt(eight(), 0), P * pb / l}; };
    f[{"8", "Mmax at load"}] = [=] { return Found{peakMoment(eight(), pa, 0, l), P * pa * pb / l}; };
    f[{"8", "d at load"}] = [=] { return Found{sagAt(eight(), pa), P * pa * pa * pb * pb / (3 * EI * l)}; };
    f[{"8", "dmax (a>b) at x=sqrt(a*(a+2*b)/3)"}] = [=] {
        return Found{peakSag(eight(), std::sqrt(pa * (pa + 2 * pb) / 3), 0, l),
                     P * pa * pb * (pa + 2 * pb) * std::sqrt(3 * pa * (pa + 2 * pb)) / (27 * EI * l)};
    };

    const auto nine = [] { return simpleBeam({point(P, 60), point(P, l - 60)}); };
    f[{"9", "Mmax"}] = [=] { return Found{peakMoment(nine(), 90, 0, l), P * 60}; };
    f[{"9", "dmax at centre"}] = [=] { return Found{peakSag(nine(), l / 2, 0, l), P * 60 * (3 * l * l - 4.0 * 60 * 60) / (24 * EI)}; };

    const auto ten = [] { return simpleBeam({point(P, 40), point(P, l - 70)}); };
    f[{"10", "R1"}] = [=] { return Found{reactionAt(ten(), 0), P * (l - 40 + 70) / l}; };
    f[{"10", "R2"}] = [=] { return Found{reactionAt(ten(), 1), P * (l - 70 + 40) / l}; };
    f[{"10", "M2 at right load (max when a<b)"}] = [=] { return Found{peakMoment(ten(), l - 70, 0, l), P * (l - 70 + 40) / l * 70}; };
}

void addCantileversAndFixed(Finders& f) {
    const double c = 72;
    const auto twelve = [=] { return cantilever({uniform(w, 0, c)}); };
    f[{"12", "Mmax at fixed end"}] = [=] { return Found{-peakMoment(twelve(), c, 0, c), w * c * c / 2}; };
    f[{"12", "dmax at free end"}] = [=] { return Found{peakSag(twelve(), 0, 0, c), w * std::pow(c, 4) / (8 * EI)}; };
    const auto thirteen = [] { return cantilever({point(P, 0)}); };
    f[{"13", "Mmax"}] = [=] { return Found{-peakMoment(thirteen(), c, 0, c), P * c}; };
    f[{"13", "dmax"}] = [=] { return Found{peakSag(thirteen(), 0, 0, c), P * c * c * c / (3 * EI)}; };
    const double b = 42;
    const auto fourteen = [] { return cantilever({point(P, 30)}); };
    f[{"14", "Mmax"}] = [=] { return Found{-peakMoment(fourteen(), c, 0, c), P * b}; };
    f[{"14", "dmax at free end"}] = [=] { return Found{peakSag(fourteen(), 0, 0, c), P * b * b * (3 * c - b) / (6 * EI)}; };
    f[{"14", "d at load"}] = [=] { return Found{sagAt(fourteen(), 30), P * b * b * b / (3 * EI)}; };

    const auto sixteen = [] { return propped({point(P, l / 2)}); };
    f[{"16", "R1"}] = [=] { return Found{reactionAt(sixteen(), 0), 5 * P / 16}; };
    f[{"16", "Mmax (fixed end, neg)"}] = [=] { return Found{-peakMoment(sixteen(), l, 0, l), 3 * P * l / 16}; };
    f[{"16", "M1 at load"}] = [=] { return Found{momentAt(sixteen(), l / 2), 5 * P * l / 32}; };
    f[{"16", "dmax at x=0.4472*l"}] = [=] { return Found{peakSag(sixteen(), l / std::sqrt(5.0), 0, l), P * l * l * l / (48 * std::sqrt(5.0) * EI)}; };
    const double a = 100, b17 = 80;
    const auto seventeen = [=] { return propped({point(P, a)}); };
    const double r1 = P * b17 * b17 * (a + 2 * l) / (2 * l * l * l);
    f[{"17", "R1"}] = [=] { return Found{reactionAt(seventeen(), 0), r1}; };
    f[{"17", "M1 at load"}] = [=] { return Found{momentAt(seventeen(), a), r1 * a}; };
    f[{"17", "M2 at fixed end"}] = [=] { return Found{-momentAt(seventeen(), l), P * a * b17 * (a + l) / (2 * l * l)}; };

    const auto twentyFour = [] { return clamped({point(P, l / 2)}); };
    f[{"24", "Mmax (centre and ends)"}] = [=] {
        CHECK(near(momentAt(twentyFour(), 0), -P * l / 8, 1e-12));
        return Found{momentAt(twentyFour(), l / 2), P * l / 8};
    };
    f[{"24", "dmax"}] = [=] { return Found{peakSag(twentyFour(), l / 2, 0, l), P * l * l * l / (192 * EI)}; };
    const double pa = 110, pb = 70;
    const auto twentyFive = [=] { return clamped({point(P, pa)}); };
    f[{"25", "R1"}] = [=] { return Found{reactionAt(twentyFive(), 0), P * pb * pb * (3 * pa + pb) / (l * l * l)}; };
    f[{"25", "M at load"}] = [=] { return Found{momentAt(twentyFive(), pa), 2 * P * pa * pa * pb * pb / (l * l * l)}; };
    f[{"25", "M2 at right end (max when a>b)"}] = [=] { return Found{-peakMoment(twentyFive(), l, 0, l), P * pa * pa * pb / (l * l)}; };
    f[{"25", "dmax at x=2*a*l/(3*a+b)"}] = [=] {
        return Found{peakSag(twentyFive(), 2 * pa * l / (3 * pa + pb), 0, l), 2 * P * pa * pa * pa * pb * pb / (3 * EI * std::pow(3 * pa + pb, 2))};
    };
}

void addOverhangs(Finders& f) {
    const double a = 48;
    const auto eighteen = [=] { return overhanging({uniform(w, 0, l + a)}); };
    f[{"18", "R1"}] = [=] { return Found{reactionAt(eighteen(), 0), w * (l * l - a * a) / (2 * l)}; };
    f[{"18", "R2"}] = [=] { return Found{reactionAt(eighteen(), 1), w * (l + a) * (l + a) / (2 * l)}; };
    f[{"18", "M1 at x=l/2*(1-a^2/l^2)"}] = [=] {
        return Found{peakMoment(eighteen(), l / 2 * (1 - a * a / (l * l)), 0, l), w * std::pow(l + a, 2) * std::pow(l - a, 2) / (8 * l * l)};
    };
    f[{"18", "M2 at R2 (neg)"}] = [=] { return Found{-momentAt(eighteen(), l), w * a * a / 2}; };
    f[{"18", "d at free end (down +)"}] = [=] { return Found{sagAt(eighteen(), l + a), w * a * (4 * a * a * l - l * l * l + 3 * a * a * a) / (24 * EI)}; };

    const auto twenty = [=] { return overhanging({point(P, l + a)}); };
    f[{"20", "R1 (uplift)"}] = [=] { return Found{-reactionAt(twenty(), 0), P * a / l}; };
    f[{"20", "R2"}] = [=] { return Found{reactionAt(twenty(), 1), P * (l + a) / l}; };
    f[{"20", "Mmax at R2"}] = [=] { return Found{-peakMoment(twenty(), l, 0, l + a), P * a}; };
    f[{"20", "upward dmax between supports"}] = [=] { return Found{-peakSag(twenty(), l / std::sqrt(3.0), 0, l), P * a * l * l / (9 * std::sqrt(3.0) * EI)}; };
    f[{"20", "d at free end"}] = [=] { return Found{sagAt(twenty(), l + a), P * a * a * (l + a) / (3 * EI)}; };

    f[{"21", "d at free end (upward)"}] = [=] {
        const double pa = 110, pb = 70;
        return Found{-sagAt(overhanging({point(P, pa)}), l + a), P * pa * pb * a * (l + pa) / (6 * EI * l)};
    };

    const double al = 36, c = 54;
    const auto twentyTwo = [=] { return solved(line(al + l + c, {simple(al), simple(al + l)}, {uniform(w, 0, al + l + c)}, EI)); };
    const double r1 = w * (l + al + c) * (l + al - c) / (2 * l);
    f[{"22", "R1"}] = [=] { return Found{reactionAt(twentyTwo(), 0), r1}; };
    f[{"22", "R2"}] = [=] { return Found{reactionAt(twentyTwo(), 1), w * (l + al + c) * (l + c - al) / (2 * l)}; };
    f[{"22", "M between supports (max) at R1/w from left end"}] = [=] { return Found{peakMoment(twentyTwo(), r1 / w, al, al + l), r1 * (r1 / (2 * w) - al)}; };
    f[{"22", "M at right support"}] = [=] { return Found{-momentAt(twentyTwo(), al + l), w * c * c / 2}; };
}

void addContinuous(Finders& f) {
    const auto s26 = [] { return twoSpans({uniform(w, 0, l)}); };
    f[{"26", "R1"}] = [=] { return Found{reactionAt(s26(), 0), 7 * w * l / 16}; };
    f[{"26", "R2"}] = [=] { return Found{reactionAt(s26(), 1), 5 * w * l / 8}; };
    f[{"26", "R3 (uplift)"}] = [=] { return Found{-reactionAt(s26(), 2), w * l / 16}; };
    f[{"26", "Mmax at x=7l/16"}] = [=] { return Found{peakMoment(s26(), 7 * l / 16, 0, 2 * l), 49 * w * l * l / 512}; };
    f[{"26", "M1 at middle support (neg)"}] = [=] { return Found{-momentAt(s26(), l), w * l * l / 16}; };

    const double a = 110, b = 70;
    const auto s28 = [=] { return twoSpans({point(P, a)}); };
    f[{"28", "R1"}] = [=] { return Found{reactionAt(s28(), 0), P * b * (4 * l * l - a * (l + a)) / (4 * l * l * l)}; };
    f[{"28", "R2"}] = [=] { return Found{reactionAt(s28(), 1), P * a * (2 * l * l + b * (l + a)) / (2 * l * l * l)}; };
    f[{"28", "Mmax at load"}] = [=] { return Found{peakMoment(s28(), a, 0, 2 * l), P * a * b * (4 * l * l - a * (l + a)) / (4 * l * l * l)}; };
    f[{"28", "M1 at middle support"}] = [=] { return Found{-momentAt(s28(), l), P * a * b * (l + a) / (4 * l * l)}; };

    const auto s29 = [] { return twoSpans({uniform(w, 0, 2 * l)}); };
    f[{"29", "R1=R3"}] = [=] {
        CHECK(near(reactionAt(s29(), 2), 3 * w * l / 8, 1e-12));
        return Found{reactionAt(s29(), 0), 3 * w * l / 8};
    };
    f[{"29", "R2"}] = [=] { return Found{reactionAt(s29(), 1), 10 * w * l / 8}; };
    f[{"29", "M1 at middle support"}] = [=] { return Found{-peakMoment(s29(), l, 0, 2 * l), w * l * l / 8}; };
    f[{"29", "M at 3l/8"}] = [=] { return Found{peakMoment(s29(), 3 * l / 8, 0, 0.5 * l), 9 * w * l * l / 128}; };
    f[{"29", "dmax at 0.4215*l"}] = [=] {
        const double x = l * (1 + std::sqrt(33.0)) / 16;
        return Found{peakSag(s29(), x, 0, l), w * x * (l * l * l - 3 * l * x * x + 2 * x * x * x) / (48 * EI), 3e-3}; // printed with 1/185
    };

    const auto s30 = [] { return twoSpans({point(P, l / 2), point(P, 1.5 * l)}); };
    f[{"30", "R1=R3"}] = [=] {
        CHECK(near(reactionAt(s30(), 2), 5 * P / 16, 1e-12));
        return Found{reactionAt(s30(), 0), 5 * P / 16};
    };
    f[{"30", "R2"}] = [=] { return Found{reactionAt(s30(), 1), 11 * P / 8}; };
    f[{"30", "M at middle support"}] = [=] { return Found{-peakMoment(s30(), l, 0, 2 * l), 3 * P * l / 16}; };
    f[{"30", "M at load"}] = [=] { return Found{momentAt(s30(), l / 2), 5 * P * l / 32}; };

    const double l2 = 132, p2 = 1500;
    const auto s32 = [=] { return solved(line(l + l2, {simple(0), simple(l), simple(l + l2)}, {point(P, l / 2), point(p2, l + l2 / 2)}, EI)); };
    const double m = 3 * (P * l * l + p2 * l2 * l2) / (16 * (l + l2));
    f[{"32", "M at middle support (neg)"}] = [=] { return Found{-peakMoment(s32(), l, 0, l + l2), m}; };
    f[{"32", "R1"}] = [=] { return Found{reactionAt(s32(), 0), P / 2 - m / l}; };
    f[{"32", "R3"}] = [=] { return Found{reactionAt(s32(), 2), p2 / 2 - m / l2}; };
}

} // namespace

TEST_CASE("beam cases by their closed forms (from memory) and an independent stiffness solution") {
    Finders finders;
    addSimpleSpans(finders);
    addCantileversAndFixed(finders);
    addOverhangs(finders);
    addContinuous(finders);

    std::set<std::pair<std::string, std::string>> used;
    for (const auto& row : referenceRows("us/beam_formulas.csv")) {
        REQUIRE(row.size() == 10);
        CAPTURE(row[0]);
        CAPTURE(row[2]);
        CHECK(row[9].find("from memory") == 0); // if a row is seen in print one day, say so above
        const auto finder = finders.find({row[0], row[2]});
        REQUIRE_MESSAGE(finder != finders.end(), "no check is written for this row");
        CHECK(used.insert(finder->first).second);
        const Found found = finder->second();
        CHECK(near(found.value, found.closedForm, 1e-9));
        CHECK(near(found.closedForm, std::stod(row[5]), found.printed));
        CHECK(near(found.value, std::stod(row[6]), 1e-5)); // that solution searched its maxima on a grid
    }
    CHECK(used.size() == finders.size());
    CHECK(used.size() == 82);
}
