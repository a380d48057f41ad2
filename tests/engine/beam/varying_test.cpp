// SPDX-License-Identifier: MIT
// Varying stiffness against the unit-load integral, by the adaptive quadrature of GSL: another integration
// rule, and for continuous lines another set of redundants (the middle reactions).
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>

#include "tests/engine/beam/lines.h"

using namespace spanwright::beam;
using namespace spanwright::beam::lines;

namespace {

using Function = std::function<double(double)>;

double call(double x, void* f) { return (*static_cast<Function*>(f))(x); }

/// Integral over [a, b] with the given places as corners.
double integral(Function f, double a, double b, std::vector<double> corners) {
    corners.push_back(a);
    corners.push_back(b);
    std::sort(corners.begin(), corners.end());
    corners.erase(std::unique(corners.begin(), corners.end()), corners.end());
    gsl_integration_workspace* workspace = gsl_integration_workspace_alloc(1000);
    gsl_set_error_handler_off();
    double sum = 0.0;
    for (std::size_t i = 0; i + 1 < corners.size(); ++i) {
        gsl_function g{&call, &f};
        double part = 0.0, error = 0.0;
        gsl_integration_qag(&g, corners[i], corners[i + 1], 0.0, 1e-12, 1000, GSL_INTEG_GAUSS31, workspace, &part, &error);
        sum += part;
    }
    gsl_integration_workspace_free(workspace);
    return sum;
}

/// Forces in a simple beam over [0, l] under a force of 1 at a, and under a line load q.
double unitMoment(double x, double a, double l) { return x <= a ? x * (l - a) / l : a * (l - x) / l; }
double unitShear(double x, double a, double l) { return x <= a ? (l - a) / l : -a / l; }

} // namespace

TEST_CASE("tapered simple beams against adaptive quadrature") {
    struct Shape {
        const char* name;
        Function depth;
        std::vector<double> kinks;
    };
    const double l = 6.0, q = 3000.0, b = 0.09, e = 1.1e10, g = 6.9e8;
    for (const Shape& shape :
         {Shape{"one pitch", [=](double x) { return 0.2 + 0.2 * x / l; }, {}},
          Shape{"ridge", [=](double x) { return 0.4 - 0.2 * std::abs(2 * x / l - 1); }, {l / 2}},
          Shape{"nearly pointed", [=](double x) { return 0.01 + 0.5 * x / l; }, {}},
          Shape{"curved", [=](double x) { return 0.25 + 0.1 * std::sin(3 * x); }, {}}, Shape{"stepped", [=](double x) { return x < 1.7 ? 0.2 : 0.35; }, {1.7}},
          Shape{"notched end", [=](double x) { return x < 0.1 ? 0.1 : 0.3 + 0.01 * x; }, {0.1}}}) {
        CAPTURE(shape.name);
        const auto ei = [&](double x) { return e * b * std::pow(shape.depth(x), 3) / 12; };
        const auto ga = [&](double x) { return g * b * shape.depth(x) / 1.2; };
        Line li = line(l, {simple(0), simple(l)}, {uniform(q, 0, l), point(4000, 2)}, 1);
        li.constantStiffness = false;
        li.ei = varying(ei);
        li.ga = varying(ga);
        li.kinks = shape.kinks;
        const Solved s = solved(li);
        CHECK(s.accuracy() == 1e-9);
        const auto m = [&](double x) { return q * x * (l - x) / 2 + 4000 * unitMoment(x, 2, l); };
        const auto v = [&](double x) { return q * (l / 2 - x) + 4000 * unitShear(x, 2, l); };
        for (const double at : {0.05, 0.9, 2.0, 3.0, 4.4, 5.9}) {
            CAPTURE(at);
            std::vector<double> corners = shape.kinks;
            corners.insert(corners.end(), {2.0, at});
            const double wanted = integral([&](double x) { return m(x) * unitMoment(x, at, l) / ei(x) + v(x) * unitShear(x, at, l) / ga(x); }, 0, l, corners);
            CHECK(near(sagAt(s, at), wanted, 1e-10));
        }
    }
}

TEST_CASE("tapered cantilever against adaptive quadrature") {
    const double l = 2.5;
    const auto ei = [](double x) { return 2e5 * std::pow(1.0 - 0.3 * x, 3); };
    Line li = line(l, {fixed(0)}, {trapezoid(500, 2500, 0.5, 2.2), couple(300, 1.1)}, 1);
    li.constantStiffness = false;
    li.ei = varying(ei);
    const Solved s = solved(li);
    const auto m = [&](double x) { // what acts beyond x, negative for downward loads
        const double a = std::max(x, 0.5), qa = 500 + 2000 * (a - 0.5) / 1.7, n = 2.2 - a;
        const double load = x < 2.2 ? (qa * n * (a - x + n / 2) + (2500 - qa) * n / 2 * (a - x + 2 * n / 3)) : 0.0;
        return -load - (x < 1.1 ? 300.0 : 0.0);
    };
    for (const double at : {0.3, 1.1, 1.9, 2.5}) {
        CAPTURE(at);
        CHECK(near(momentAt(s, at * 0.999), m(at * 0.999), 1e-11));
        CHECK(near(sagAt(s, at), integral([&](double x) { return x < at ? -m(x) * (at - x) / ei(x) : 0.0; }, 0, l, {0.5, 1.1, 2.2, at}), 1e-10));
    }
}

TEST_CASE("continuous lines of varying stiffness against a flexibility solution with the middle reactions") {
    const double l = 9.0;
    const std::vector<double> props{2.5, 5.5};
    const auto ei = [](double x) { return 3e5 * (1.5 + std::sin(x)) * (x < 4.0 ? 1.0 : 2.0); };
    const auto ga = [](double x) { return 4e6 * (1.0 + 0.1 * x); };
    const double q = 1800.0, p = 5000.0, at = 6.8, sink = 0.004;
    Line li = line(l, {simple(0), simple(props[0], sink), simple(props[1]), simple(l)}, {uniform(q, 0, l), point(p, at)}, 1);
    li.constantStiffness = false;
    li.ei = varying(ei);
    li.kinks = {4.0};
    for (const bool sheared : {false, true}) {
        CAPTURE(sheared);
        if (sheared) li.ga = varying(ga);
        const Solved s = solved(li);
        const auto m0 = [&](double x) { return q * x * (l - x) / 2 + p * unitMoment(x, at, l); };
        const auto v0 = [&](double x) { return q * (l / 2 - x) + p * unitShear(x, at, l); };
        const auto pair = [&](const Function& m, const Function& v, double a) {
            return integral([&](double x) { return m(x) * unitMoment(x, a, l) / ei(x) + (sheared ? v(x) * unitShear(x, a, l) / ga(x) : 0.0); }, 0, l,
                            {2.5, 4.0, 5.5, at, a});
        };
        double matrix[4], right[2];
        for (std::size_t i = 0; i < 2; ++i) {
            right[i] = pair(m0, v0, props[i]) - (i == 0 ? sink : 0.0);
            for (std::size_t j = 0; j < 2; ++j) {
                matrix[2 * i + j] = pair([&](double x) { return unitMoment(x, props[j], l); }, [&](double x) { return unitShear(x, props[j], l); }, props[i]);
            }
        }
        const double det = matrix[0] * matrix[3] - matrix[1] * matrix[2];
        const double r1 = (right[0] * matrix[3] - right[1] * matrix[1]) / det, r2 = (matrix[0] * right[1] - matrix[2] * right[0]) / det;
        CHECK(near(reactionAt(s, 1), r1, 1e-9));
        CHECK(near(reactionAt(s, 2), r2, 1e-9));
        const auto m = [&](double x) { return m0(x) - r1 * unitMoment(x, props[0], l) - r2 * unitMoment(x, props[1], l); };
        const auto v = [&](double x) { return v0(x) - r1 * unitShear(x, props[0], l) - r2 * unitShear(x, props[1], l); };
        for (const double x : {1.0, 2.5, 4.0, 6.8, 8.5}) {
            CAPTURE(x);
            CHECK(near(momentAt(s, x), m(x), 1e-9, q));
            CHECK(near(sagAt(s, x), pair(m, v, x), 1e-9, 0.01));
        }
    }
}

TEST_CASE("a jump of the stiffness that nobody named is found") {
    const double l = 4.0, q = 1000.0;
    const auto ei = [](double x) { return x < 1.2345 ? 1e5 : 3e5; };
    Line li = line(l, {fixed(0), simple(l)}, {uniform(q, 0, l)}, 1);
    li.constantStiffness = false;
    li.ei = varying(ei);
    const Solved unnamed = solved(li);
    li.kinks = {1.2345};
    const Solved named = solved(li);
    CHECK(unnamed.accuracy() < 1e-8);
    CHECK(near(reactionAt(unnamed, 0), reactionAt(named, 0), 1e-10));
    CHECK(near(sagAt(unnamed, 2.0), sagAt(named, 2.0), 1e-10));
    CHECK(std::count(named.breaks().begin(), named.breaks().end(), 1.2345) == 1);
    CHECK(unnamed.breaks() == std::vector<double>{0.0, 4.0});
}

TEST_CASE("a stiffness that happens to be constant gives the closed form either way") {
    Line li = line(7, {simple(0), simple(3), fixed(7)}, {uniform(2000, 1, 5), point(3000, 6)}, 4e5, 5e6);
    const Solved closed = solved(li);
    li.constantStiffness = false;
    const Solved refined = solved(li);
    // The promise of a constant stiffness is checked.
    li.constantStiffness = true;
    li.ei = varying([](double x) { return 4e5 * (1 + x); });
    const Solved promised = solved(li);
    li.constantStiffness = false;
    const Solved honest = solved(li);
    for (double x = 0.0; x <= 7.0; x += 0.25) {
        CHECK(near(refined.moment(x, kOne).most, closed.moment(x, kOne).most, 1e-12, 1e3));
        CHECK(near(sagAt(refined, x), sagAt(closed, x), 1e-12, 1e-3));
        CHECK(sagAt(promised, x) == sagAt(honest, x));
    }
}
