// SPDX-License-Identifier: MIT
// Shear that inclined flanges take: against the unit-load integral of M*m/EI + (V - r*M)*(v - r*m)/GA by
// Simpson's rule, which is another integration rule and knows no cells.
#include "tests/engine/beam/lines.h"

using namespace spanwright::beam;
using namespace spanwright::beam::lines;

namespace {

using Function = std::function<double(double)>;

double simpson(const Function& f, std::vector<double> corners) {
    std::sort(corners.begin(), corners.end());
    double sum = 0.0;
    for (std::size_t i = 0; i + 1 < corners.size(); ++i) {
        const int n = 4000;
        const double h = (corners[i + 1] - corners[i]) / n, inside = 1e-13;
        for (int k = 0; k < n; ++k) {
            const double a = corners[i] + k * h, b = a + h;
            sum += h / 6 * (f(a + inside) + 4 * f(0.5 * (a + b)) + f(b - inside));
        }
    }
    return sum;
}

double unitMoment(double x, double a, double l) { return x <= a ? x * (l - a) / l : a * (l - x) / l; }
double unitShear(double x, double a, double l) { return x <= a ? (l - a) / l : -a / l; }

/// Two flanges and a thin web, depth rising to a ridge at `ridge`.
struct Ridge {
    double l, ridge, hs, hr;
    [[nodiscard]] double depth(double x) const { return x < ridge ? hs + (hr - hs) * x / ridge : hr - (hr - hs) * (x - ridge) / (l - ridge); }
    [[nodiscard]] double ei(double x) const { return 2.5e7 * std::pow(depth(x), 2); }
    [[nodiscard]] double ga(double x) const { return 7.4e6 * depth(x); }
    [[nodiscard]] double relief(double x) const { return (x < ridge ? (hr - hs) / ridge : -(hr - hs) / (l - ridge)) / depth(x); }
};

Line lineOf(const Ridge& r, std::vector<Support> supports, std::vector<Load> loads, bool named) {
    Line li = line(r.l, std::move(supports), std::move(loads), 1);
    li.constantStiffness = false;
    li.ei = varying([r](double x) { return r.ei(x); });
    li.ga = varying([r](double x) { return r.ga(x); });
    li.relief = varying([r](double x) { return r.relief(x); });
    if (named) li.kinks = {r.ridge};
    return li;
}

} // namespace

TEST_CASE("deflection of ridge beams with relief against Simpson's rule") {
    for (const Ridge& r : {Ridge{6, 3, 0.3, 0.6}, Ridge{6, 2, 0.3, 0.9}, Ridge{4, 3.9, 0.2, 0.5}}) {
        const double q = 3000;
        const Solved s = solved(lineOf(r, {simple(0), simple(r.l)}, {uniform(q, 0, r.l)}, true));
        for (const double at : {0.1, 1.3, 2.0, 3.0, 3.6}) {
            const auto f = [&](double x) {
                const double m = q * x * (r.l - x) / 2, v = q * (r.l / 2 - x), m1 = unitMoment(x, at, r.l), v1 = unitShear(x, at, r.l);
                return m * m1 / r.ei(x) + (v - r.relief(x) * m) * (v1 - r.relief(x) * m1) / r.ga(x);
            };
            CHECK(near(sagAt(s, at), simpson(f, {0, r.ridge, at, r.l}), 1e-9));
        }
        // statics is what it was: the reactions of a simple beam do not know of it
        CHECK(near(reactionAt(s, 0), q * r.l / 2));
    }
}

TEST_CASE("web shear is V less what the flanges take, on both sides of the ridge") {
    const Ridge r{6, 3, 0.3, 0.6};
    const Solved s = solved(lineOf(r, {simple(0), simple(6)}, {uniform(3000, 0, 6)}, true));
    for (const double x : {0.5, 1.0, 2.5, 3.5, 5.9}) CHECK(near(only(s.webShear(x, kOne)), shearAt(s, x) - r.relief(x) * momentAt(s, x), 1e-12, 9000));
    // At the ridge V = 0 and M = 13.5 kNm: -+0.1/0.6*13500 = -+2250 N.
    const Range3 at = s.webShear(3.0, kOne);
    CHECK(near(at.most, 2250));
    CHECK(near(at.least, -2250));
    CHECK(only(s.webShear(0, kOne)) == shearAt(s, 0));
    Line without = lineOf(r, {simple(0), simple(6)}, {uniform(3000, 0, 6)}, true);
    without.relief = {};
    const Solved plain = solved(without);
    CHECK(only(plain.webShear(1.0, kOne)) == shearAt(plain, 1.0));
}

TEST_CASE("a continuous ridge beam does not leave its supports, by another set of redundants") {
    const Ridge r{9, 5, 0.3, 0.7};
    const double q = 4000;
    const Solved s = solved(lineOf(r, {simple(0), simple(4), simple(9)}, {uniform(q, 0, 9), point(3000, 6)}, true));
    // the deflection of the two-support beam at the middle support, under loads and reaction, is nought
    const auto gap = [&](double x) {
        const double m = momentAt(s, x), v = shearAt(s, x), m1 = unitMoment(x, 4, 9), v1 = unitShear(x, 4, 9);
        return m * m1 / r.ei(x) + (v - r.relief(x) * m) * (v1 - r.relief(x) * m1) / r.ga(x);
    };
    const auto loadsAlone = [&](double x) {
        const double m = q * x * (9 - x) / 2 + 3000 * unitMoment(x, 6, 9), v = q * (4.5 - x) + 3000 * unitShear(x, 6, 9);
        const double m1 = unitMoment(x, 4, 9), v1 = unitShear(x, 4, 9);
        return m * m1 / r.ei(x) + (v - r.relief(x) * m) * (v1 - r.relief(x) * m1) / r.ga(x);
    };
    const double free = simpson(loadsAlone, {0, 4, 5, 6, 9});
    CHECK(std::abs(simpson(gap, {0, 4, 5, 6, 9})) < 1e-9 * free);
    CHECK(sagAt(s, 4) == 0);
}

TEST_CASE("a kink of the relief that is not named is closed in on") {
    const Ridge r{6, 2.3, 0.3, 0.6};
    const Solved named = solved(lineOf(r, {simple(0), simple(6)}, {uniform(3000, 0, 6)}, true));
    const Solved found = solved(lineOf(r, {simple(0), simple(6)}, {uniform(3000, 0, 6)}, false));
    for (const double x : {1.0, 2.3, 4.0}) CHECK(near(sagAt(found, x), sagAt(named, x), 1e-8));
}

TEST_CASE("a cantilever with relief, and one without any changes nothing") {
    // By hand: EI 2e5, GA 1e6, r = 0.5/m constant, tip load 1 kN on 2 m: M = -1000(2 - x), V = 1000,
    // w = 1000/2e5*8/3 + 1/1e6*integral of (1000 + 500(2 - x))(1 + 0.5(2 - x)) = 0.0133333 + 0.001*4.666667 = 0.018.
    Line li = line(2, {fixed(0)}, {point(1000, 2)}, 2e5, 1e6);
    li.relief = constant(0.5);
    CHECK(near(sagAt(solved(li), 2), 0.018));
    li.relief = constant(0.0);
    const Solved zero = solved(li);
    li.relief = {};
    const Solved none = solved(li);
    for (const double x : {0.3, 1.0, 2.0}) CHECK(sagAt(zero, x) == sagAt(none, x));
    li.relief = constant(std::nan(""));
    CHECK(!solve(li));
}
