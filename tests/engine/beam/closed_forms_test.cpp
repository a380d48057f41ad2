// SPDX-License-Identifier: MIT
// Closed forms of beam theory that are derived in a line or two, or are the well-known coefficients of
// continuous beams (0.125, 0.375, 1.25; 0.1, 0.08, 0.025, 0.4, 1.1), which stand in every handbook's tables; here they are
// from memory, and confirmed by the closed forms themselves.
#include "tests/engine/beam/lines.h"

using namespace spanwright::beam;
using namespace spanwright::beam::lines;

namespace {
constexpr double kEI = 4.3e5, kGA = 5.9e6; // N*m^2, N: about a 47 x 220 mm joist
}

TEST_CASE("two equal spans under a line load: 0.125, 0.375, 1.25") {
    const double l = 3.7, q = 1850.0;
    const Solved s = solved(line(2 * l, {simple(0), simple(l), simple(2 * l)}, {uniform(q, 0, 2 * l)}, kEI));
    CHECK(near(momentAt(s, l), -0.125 * q * l * l, 1e-12));
    CHECK(near(reactionAt(s, 0), 0.375 * q * l, 1e-12));
    CHECK(near(reactionAt(s, 1), 1.25 * q * l, 1e-12));
    CHECK(near(reactionAt(s, 2), 0.375 * q * l, 1e-12));
    CHECK(near(momentAt(s, 0.375 * l), 9.0 / 128.0 * q * l * l, 1e-12));
    CHECK(near(sagAt(s, 0.5 * l), q * std::pow(l, 4) / (192.0 * kEI), 1e-12));
    CHECK(near(sagAt(s, 1.5 * l), q * std::pow(l, 4) / (192.0 * kEI), 1e-12));
}

TEST_CASE("three equal spans under a line load: 0.1, 0.08, 0.025, 0.4, 1.1") {
    const double l = 2.9, q = 2400.0;
    const Solved s = solved(line(3 * l, {simple(2 * l), simple(0), simple(l), simple(3 * l)}, {uniform(q, 0, 3 * l)}, kEI));
    CHECK(near(momentAt(s, l), -0.1 * q * l * l, 1e-12));
    CHECK(near(momentAt(s, 2 * l), -0.1 * q * l * l, 1e-12));
    CHECK(near(momentAt(s, 0.4 * l), 0.08 * q * l * l, 1e-12));
    CHECK(near(momentAt(s, 1.5 * l), 0.025 * q * l * l, 1e-12));
    CHECK(near(reactionAt(s, 0), 0.4 * q * l, 1e-12));
    CHECK(near(reactionAt(s, 1), 1.1 * q * l, 1e-12));
    CHECK(near(reactionAt(s, 2), 1.1 * q * l, 1e-12));
    CHECK(near(reactionAt(s, 3), 0.4 * q * l, 1e-12));
    CHECK(s.supportAt(1) == l);
}

TEST_CASE("shear flexibility moves load off the middle support") {
    // Release the middle support: the simple beam of 2l sags 5q(2l)^4/384EI + q(2l)^2/8GA there, a force R
    // lifts it by R(2l)^3/48EI + R(2l)/4GA.
    const double l = 3.0, q = 5000.0, span = 2 * l;
    const Solved s = solved(line(span, {simple(0), simple(l), simple(span)}, {uniform(q, 0, span)}, kEI, kGA));
    const double middle = (5 * q * std::pow(span, 4) / (384 * kEI) + q * span * span / (8 * kGA)) / (std::pow(span, 3) / (48 * kEI) + span / (4 * kGA));
    CHECK(near(reactionAt(s, 1), middle, 1e-12));
    CHECK(middle < 1.25 * q * l);
}

TEST_CASE("fixed ends") {
    const double l = 4.2, q = 3100.0, p = 7000.0;
    const Solved udl = solved(line(l, {fixed(0), fixed(l)}, {uniform(q, 0, l)}, kEI, kGA));
    CHECK(near(momentAt(udl, 0), -q * l * l / 12, 1e-12));
    CHECK(near(momentAt(udl, l), -q * l * l / 12, 1e-12));
    CHECK(near(momentAt(udl, l / 2), q * l * l / 24, 1e-12));
    CHECK(near(holdingAt(udl, 0), -q * l * l / 12, 1e-12));
    CHECK(near(holdingAt(udl, 1), q * l * l / 12, 1e-12));
    CHECK(near(sagAt(udl, l / 2), q * std::pow(l, 4) / (384 * kEI) + q * l * l / (8 * kGA), 1e-12));

    // Load growing from zero at the left: ql^2/30 left, ql^2/20 right; reactions 3ql/20, 7ql/20.
    const Solved tri = solved(line(l, {fixed(0), fixed(l)}, {trapezoid(0, q, 0, l)}, kEI));
    CHECK(near(momentAt(tri, 0), -q * l * l / 30, 1e-12));
    CHECK(near(momentAt(tri, l), -q * l * l / 20, 1e-12));
    CHECK(near(reactionAt(tri, 0), 3 * q * l / 20, 1e-12));
    CHECK(near(reactionAt(tri, 1), 7 * q * l / 20, 1e-12));

    const Solved prop = solved(line(l, {fixed(0), simple(l)}, {point(p, l / 2)}, kEI));
    CHECK(near(momentAt(prop, 0), -3 * p * l / 16, 1e-12));
    CHECK(near(reactionAt(prop, 1), 5 * p / 16, 1e-12));
    CHECK(holdingAt(prop, 1) == 0.0);
}

TEST_CASE("a fixed support between two spans parts them") {
    const double q = 2000.0;
    const Solved s = solved(line(7, {simple(0), fixed(3), simple(7)}, {uniform(q, 0, 3)}, kEI));
    CHECK(near(only(s.moment(std::nextafter(3.0, 0.0), kOne)), -q * 9 / 8, 1e-9));
    CHECK(momentAt(s, 5.0) == 0.0);
    CHECK(reactionAt(s, 2) == 0.0);
    CHECK(sagAt(s, 5.0) == 0.0);
    CHECK(near(holdingAt(s, 1), q * 9 / 8, 1e-12));
    // Exactly at the jump: both sides.
    const Range3 both = s.moment(3.0, kOne);
    CHECK(near(both.least, -q * 9 / 8, 1e-12));
    CHECK(both.most == 0.0);
    CHECK(both.greatest() == both.least);
}

TEST_CASE("a support that settles") {
    const double l = 3.0, d = 0.012;
    SUBCASE("middle of two spans: M = 3 EI d / l^2") {
        const Solved s = solved(line(2 * l, {simple(0), simple(l, d), simple(2 * l)}, {}, kEI));
        CHECK(near(momentAt(s, l), 3 * kEI * d / (l * l), 1e-12));
        CHECK(near(reactionAt(s, 1), -6 * kEI * d / (l * l * l), 1e-12));
        CHECK(sagAt(s, l) == d);
        CHECK(sagAt(s, 0) == 0.0);
    }
    SUBCASE("propped: M = 3 EI d / l^2; both ends fixed: 6 EI d / l^2") {
        CHECK(near(momentAt(solved(line(l, {fixed(0), simple(l, d)}, {}, kEI)), 0), -3 * kEI * d / (l * l), 1e-12));
        const Solved both = solved(line(l, {fixed(0), fixed(l, d)}, {}, kEI));
        CHECK(near(momentAt(both, 0), -6 * kEI * d / (l * l), 1e-12));
        CHECK(near(momentAt(both, l), 6 * kEI * d / (l * l), 1e-12));
        CHECK(near(sagAt(both, l / 2), d / 2, 1e-12));
    }
    SUBCASE("determinate lines only move") {
        const Solved s = solved(line(5, {simple(1, d), simple(4, -d)}, {}, kEI));
        CHECK(momentAt(s, 2.0) == 0.0);
        CHECK(near(sagAt(s, 0), d + 2 * d / 3, 1e-12));
        CHECK(near(sagAt(s, 5), -d - 2 * d / 3, 1e-12));
        const Solved one = solved(line(5, {fixed(2, d)}, {}, kEI));
        CHECK(sagAt(one, 0) == d);
        CHECK(sagAt(one, 5) == d);
    }
    SUBCASE("as an action of its own") {
        Line li = line(2 * l, {simple(0), simple(l, d), simple(2 * l)}, {uniform(1000, 0, 2 * l)}, kEI);
        li.actionCount = 2;
        li.sinkAction = 1;
        const Solved s = solved(li);
        CHECK(near(only(s.moment(l, {1.0, 0.0})), -1000 * l * l / 8, 1e-12));
        CHECK(near(only(s.moment(l, {0.0, 1.5})), 1.5 * 3 * kEI * d / (l * l), 1e-12));
        CHECK(only(s.deflection(l, {1.0, 0.0})) == 0.0);
        li.sinkAction = 0xffffffffU;
        CHECK(near(only(solved(li).moment(l, {0.0, 0.0})), 3 * kEI * d / (l * l), 1e-12));
    }
}

TEST_CASE("line loads of any slope over any part") {
    const double l = 5.0;
    // Trapezoid from 1 m to 4 m, 1000 to 4000 N/m: 7500 N in all; moments by its two parts.
    const double total = 3 * 2500.0, about0 = 1000 * 3 * 2.5 + 0.5 * 3000 * 3 * 3.0;
    const Solved s = solved(line(l, {simple(0), simple(l)}, {trapezoid(1000, 4000, 1, 4)}, kEI));
    CHECK(near(reactionAt(s, 1), about0 / l, 1e-12));
    CHECK(near(reactionAt(s, 0), total - about0 / l, 1e-12));
    CHECK(near(shearAt(s, 2.5), reactionAt(s, 0) - (1000 * 1.5 + 0.5 * 1500 * 1.5), 1e-12));
    CHECK(near(momentAt(s, 2.5), reactionAt(s, 0) * 2.5 - (1000 * 1.5 * 0.75 + 0.5 * 1500 * 1.5 * 0.5), 1e-12));
    // Written from right to left it is the same load; cut in two it is the same load.
    const Solved back = solved(line(l, {simple(0), simple(l)}, {trapezoid(4000, 1000, 4, 1)}, kEI));
    const Solved cut = solved(line(l, {simple(0), simple(l)}, {trapezoid(1000, 2000, 1, 2), trapezoid(2000, 4000, 2, 4)}, kEI));
    for (const double x : {0.5, 1.0, 1.7, 3.3, 4.0, 4.9}) {
        CHECK(momentAt(back, x) == momentAt(s, x));
        CHECK(sagAt(back, x) == sagAt(s, x));
        CHECK(near(momentAt(cut, x), momentAt(s, x), 1e-12));
        CHECK(near(sagAt(cut, x), sagAt(s, x), 1e-12));
    }
    // No length or no size: no load.
    const Solved none = solved(line(l, {simple(0), simple(l)}, {trapezoid(1000, 4000, 2, 2), uniform(0, 1, 4), point(0, 3), couple(0, 3)}, kEI));
    CHECK(momentAt(none, 2) == 0.0);
    CHECK(reactionAt(none, 0) == 0.0);
    CHECK(none.residual() == 0.0);
}

TEST_CASE("applied moments") {
    const double l = 4.0, m = 5000.0, a = 1.5;
    const Solved s = solved(line(l, {simple(0), simple(l)}, {couple(m, a)}, kEI));
    CHECK(near(reactionAt(s, 0), -m / l, 1e-12));
    CHECK(near(reactionAt(s, 1), m / l, 1e-12));
    CHECK(near(momentAt(s, std::nextafter(a, 0.0)), -m * a / l, 1e-12));
    CHECK(near(momentAt(s, std::nextafter(a, l)), m * (1 - a / l), 1e-12));
    CHECK(near(s.moment(a, kOne).greatest(), m * (1 - a / l), 1e-12));
    CHECK(near(s.moment(a, kOne).least, -m * a / l, 1e-12));
    // Unit-load integral: m a (l - a) ((l - a)^2 - a^2)/(3 EI l^2).
    CHECK(near(sagAt(s, a), m * a * (l - a) * (l - 2 * a) / (3 * kEI * l), 1e-12));

    // At the end support of a simple span: M runs from m to 0.
    const Solved end = solved(line(l, {simple(0), simple(l)}, {couple(m, 0)}, kEI));
    CHECK(momentAt(end, 0) == m);
    CHECK(momentAt(end, l) == 0.0);
    const Solved far = solved(line(l, {simple(0), simple(l)}, {couple(m, l)}, kEI));
    CHECK(momentAt(far, l) == -m);
    // A moment on a fixed support goes into it, and on a cantilever's tip through the whole line.
    const Solved held = solved(line(l, {fixed(0)}, {couple(m, 0)}, kEI));
    CHECK(holdingAt(held, 0) == -m);
    CHECK(momentAt(held, 1) == 0.0);
    const Solved tip = solved(line(l, {fixed(0)}, {couple(m, l)}, kEI));
    CHECK(momentAt(tip, 1) == -m);
    CHECK(near(sagAt(tip, l), m * l * l / (2 * kEI), 1e-12));
    // At the middle support of two spans the halves share it: M = -m/2 left, +m/2 right.
    const Solved middle = solved(line(2 * l, {simple(0), simple(l), simple(2 * l)}, {couple(m, l)}, kEI));
    CHECK(near(middle.moment(l, kOne).least, -m / 2, 1e-12));
    CHECK(near(middle.moment(l, kOne).most, m / 2, 1e-12));
}

TEST_CASE("overhangs and uplift") {
    const double l = 4.0, a = 1.2, c = 0.8, p = 3000.0, q = 1500.0;
    const Solved s = solved(line(a + l + c, {simple(a), simple(a + l)}, {point(p, 0), uniform(q, a + l, a + l + c)}, kEI, kGA));
    CHECK(near(momentAt(s, a), -p * a, 1e-12));
    CHECK(near(momentAt(s, a + l), -q * c * c / 2, 1e-12));
    CHECK(momentAt(s, 0) == 0.0);
    CHECK(momentAt(s, a + l + c) == 0.0);
    CHECK(shearAt(s, 0) == -p);
    CHECK(near(reactionAt(s, 0), p * (l + a) / l - q * c * c / (2 * l), 1e-12));
    CHECK(near(reactionAt(s, 1), q * c * (l + c / 2) / l - p * a / l, 1e-12));
    // Tip: cantilever + rotation of the support; shear: V/GA on the overhang and the span's slope.
    const double bend = p * a * a * (l + a) / (3 * kEI) + q * c * c / 2 * l * a / (6 * kEI);
    const double chord = (p * a - q * c * c / 2) / (l * kGA) * a;
    CHECK(near(sagAt(s, 0), bend + p * a / kGA + chord, 1e-11));

    const Solved up = solved(line(l + a, {simple(0), simple(l)}, {point(p, l + a)}, kEI));
    CHECK(near(reactionAt(up, 0), -p * a / l, 1e-12));
    CHECK(near(sagAt(up, l / std::sqrt(3.0)), -p * a * l * l / (9 * std::sqrt(3.0) * kEI), 1e-12));
    // A load on a support goes straight into it.
    const Solved onto = solved(line(l, {simple(0), simple(l)}, {point(p, 0), point(2 * p, l)}, kEI));
    CHECK(reactionAt(onto, 0) == p);
    CHECK(reactionAt(onto, 1) == 2 * p);
    CHECK(shearAt(onto, 1.0) == 0.0);
}

TEST_CASE("shear at a jump") {
    const double p = 1000.0;
    const Solved s = solved(line(4, {simple(0), simple(4)}, {point(p, 1)}, kEI));
    CHECK(s.shear(1.0, kOne).most == doctest::Approx(750.0));
    CHECK(s.shear(1.0, kOne).least == doctest::Approx(-250.0));
    CHECK(s.shear(1.0, kOne).greatest() == s.shear(1.0, kOne).most);
    CHECK(near(shearAt(s, std::nextafter(1.0, 0.0)), 750.0, 1e-12));
    CHECK(near(shearAt(s, std::nextafter(1.0, 2.0)), -250.0, 1e-12));
    // A tie counts as positive.
    const Solved tie = solved(line(4, {simple(0), simple(4)}, {point(p, 2)}, kEI));
    CHECK(tie.shear(2.0, kOne).greatest() == 500.0);
    CHECK(shearAt(tie, 0.0) == 500.0);
    CHECK(shearAt(tie, 4.0) == -500.0);
}
