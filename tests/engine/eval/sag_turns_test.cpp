// SPDX-License-Identifier: MIT
// Ranges over sums of deflections: which of them are not sampled because beams say where they turn, and that these come to what
// samples find. The same formula within max(..., ...) is sampled: the second opinion.
#include <cmath>
#include <doctest/doctest.h>

#include "worked_sheet.h"

using namespace spanwright;
using eval::State;
using eval::test::WorkedSheet;

namespace {

const char* kBeams = "table us by n\nn, G, Q\nlow, 1, 0\nhigh, 1.35, 1.5\nend\neach u in us\n"
                     "given spans = 1\ngiven L [m] = 4 m\ngiven L_2 [m] = 3 m\ngiven k = 0.6\ngiven turned [m] = 2.5 m\n"
                     "derive length [m] = L + if(spans > 1, L_2, 0 m)\n"
                     "beam B from 0 m to length\n stiffness 500 (kN*m^2), 2000 kN\n support 0 m, L\n support length only if spans > 1\n load G line 1 (kN/m)\n"
                     " load Q line 2 (kN/m) each span\n load Q point 3 kN at 1 m each span\nend\n"
                     "beam C from 0 m to length\n stiffness 300 (kN*m^2)\n support 0 m, L\n support length only if spans > 1\n load G line 1 (kN/m) from 1 m to L\n "
                     "load Q point 3 kN at 2 m\n"
                     "end\n"
                     "beam T from 0 m to length\n stiffness 300 (kN*m)*(1 m + x)\n support 0 m, L\n support length only if spans > 1\n load G line 1 (kN/m)\n load Q "
                     "line 1 (kN/m)\nend\n"
                     "define span_at(x [m]) = if(x <= L, L, L_2)\n"
                     "define later(x [m]) = (1 + k)*B.w_most(x, G) + (1 + 0.3*k)*B.w_most(x, Q)\n";

/// What stands in the range, and whether samples are taken.
struct Case {
    const char* body;
    bool sampled;
};

const Case kCases[] = {
    {"C.w(x)", false},
    {"-(C.w(x, G))", false},
    {"2*C.w(x, u) - 3 mm", false},
    {"B.w_most(x)", false},
    {"B.w_least(x, u)", false},
    {"B.w(x, G)", true}, // the larger of least and most, over any choice of spans: no beam says where that turns
    {"B.w_most(x)/span_at(x)*1 m", false},
    {"later(x)", false},
    {"later(x)/span_at(x)*1 m", false},
    {"k*(B.w_most(x, u) - C.w(x, G)/3) + if(x < turned, B.w_least(x, Q), 2*C.w(x))", false},
    {"if(x < 1 m or x > turned, C.w(x), 0.9*C.w(x)) + if(2*x - 1 m < turned - x, 1 mm, 0.5 mm)", false},
    {"if(x*x < 4 (m^2), C.w(x), 0.9*C.w(x))", true}, // no straight line
    {"if(C.w(x) > 1 mm, C.w(x), 0.9*C.w(x))", true},
    {"abs(C.w(x))", true},
    {"max(B.w_most(x, G), C.w(x, G))", true},
    {"C.w(x)*x/(1 m)", true},
    {"C.w(x)*C.w(x)/(1 mm)", true},
    {"C.w(0.5*x)", true},
    {"T.w(x)", true}, // its stiffness varies
    {"C.w(x) + T.w(x)", true},
};

bool sampledAny(WorkedSheet& s, const std::string& row) {
    const meaning::Quantity& q = s.sheet().at(s.id(row));
    const auto trace = s.program().trace(q.formula, std::vector<std::size_t>(s.sheet().exprs.at(q.formula).axes.size(), 0), s.values());
    bool any = false;
    for (const auto& step : trace.steps) any = any || step.sampled;
    return any;
}

} // namespace

TEST_CASE("deflections of beams of constant stiffness say where they turn, in sums and by steps; what else may turn is sampled") {
    for (const Case& c : kCases) {
        for (const char* spans : {"1", "2"}) {
            for (const bool larger : {true, false}) {
                const std::string body = c.body, range = ", x from 0 m to length)", what = larger ? "largest" : "smallest";
                WorkedSheet s(std::string(kBeams) + "derive it [mm] = " + what + "(" + body + range + "\nderive place [m] = where_" + what + "(" + body +
                              range + "\nderive other [mm] = " + what + "(" + (larger ? "max" : "min") + "(" + body + ", " + (larger ? "-1" : "1") + " km)" +
                              range + "\ndefine f(x [m]) = " + body + "\nderive there [mm] = f(place)\n");
                INFO(body, larger ? " largest, " : " smallest, ", spans, " spans");
                REQUIRE(s.complaints() == "");
                s.state("spans", std::stod(spans));
                CHECK(sampledAny(s, "it") == c.sampled);
                CHECK(sampledAny(s, "place") == c.sampled);
                CHECK(sampledAny(s, "other"));
                REQUIRE(s.at("it").known());
                REQUIRE(s.at("other").known());
                const eval::Value &it = s.at("it"), &other = s.at("other"), &there = s.at("there");
                const std::size_t cases = it.many.empty() ? 1 : it.many.size();
                for (std::size_t i = 0; i < cases; ++i) {
                    const double size = std::max(std::fabs(it.data()[i]), 1e-9);
                    CHECK(std::fabs(it.data()[i] - other.data()[i]) <= 1e-11 * size);
                    // The sum has that value at the place told, or just beside it where it jumps.
                    if (body.find("if(") == std::string::npos && body.find("span_at") == std::string::npos)
                        CHECK(std::fabs(there.data()[i] - it.data()[i]) <= 1e-11 * size);
                    // No sample lies beyond.
                    CHECK((larger ? it.data()[i] >= other.data()[i] - 1e-14 * size : it.data()[i] <= other.data()[i] + 1e-14 * size));
                }
            }
        }
    }
}

TEST_CASE("a step a rounding error beside a named place, and a jump upwards behind it: the value behind it counts") {
    // Behind the crossing the deflection counts tenfold, and falls.
    WorkedSheet s(std::string(kBeams) + "derive it [mm] = largest(if(3*x - 0.1 m > 2*turned + x, 10, 1)*C.w(x), x from 0 m to length)\n"
                                        "derive named [mm] = largest(if(3*x - 0.1 m > 2*turned + x, 10, 1)*C.w(x), x from 0 m to turned + 0.05 m to length)\n"
                                        "derive w [mm] = C.w(turned + 0.05 m)\n");
    REQUIRE(s.complaints() == "");
    for (const double turned : {2.2, 2.5, 2.7182818284590452, 3.1}) {
        s.state("turned", turned);
        CHECK_FALSE(sampledAny(s, "it"));
        CHECK_FALSE(sampledAny(s, "named"));
        CHECK(s.number("it") == doctest::Approx(10 * s.number("w")).epsilon(1e-10));
        CHECK(s.number("named") == doctest::Approx(10 * s.number("w")).epsilon(1e-10));
    }
}

TEST_CASE("a range without length, one beyond the beam, and one whose factors have no value") {
    WorkedSheet s(std::string(kBeams) + "given zero = 0\nderive none [mm] = largest(C.w(x), x from 1 m to 1 m)\nderive w [mm] = C.w(1 m)\n"
                                        "derive past [mm] = largest(C.w(x), x from 0 m to length + 1 m)\n"
                                        "derive bad [mm] = largest(C.w(x, G) + C.w(x, Q)/zero, x from 0 m to length)\n"
                                        "derive beside [mm] = largest(C.w(x, G) + if(x < 9 m, 0, 1/zero)*C.w(x, Q), x from 0 m to length)\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.number("none") == s.number("w"));
    CHECK_FALSE(sampledAny(s, "none"));
    CHECK(s.at("past").state == State::Failed);
    CHECK(s.at("bad").state == State::Failed);
    CHECK(s.said("bad").find("division by zero") != std::string::npos);
    CHECK(s.at("beside").known()); // a branch that no place takes
}
