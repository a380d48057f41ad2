// SPDX-License-Identifier: MIT
#include "engine/eval/points.h"

#include <bit>
#include <cmath>
#include <doctest/doctest.h>
#include <random>

using namespace spanwright;
using namespace spanwright::eval;
using meaning::QuantityId;

namespace {

/// A sheet worked out as it stands, and some of its rows at many points of one given.
struct Varied {
    meaning::TextPool texts;
    std::shared_ptr<const meaning::Sheet> sheet;
    std::unique_ptr<Program> program;
    MemberValues values;
    std::unique_ptr<PointProgram> points;

    explicit Varied(const std::string& text) {
        const auto document = std::make_shared<const syntax::Document>(syntax::Document::read("t.spansheet", syntax::FileKind::Sheet, text));
        sheet = meaning::analyse(
            document, [](const std::string&) -> base::Result<std::string, diag::Diagnostic> { return base::Failure<diag::Diagnostic>{{}}; }, texts);
        for (const diag::Diagnostic& d : sheet->diagnostics) FAIL(d.message);
        program = std::make_unique<Program>(sheet);
        values = at(program->evaluate(sheet->find("x")->id, {}).one);
        points = std::make_unique<PointProgram>(sheet, values);
    }
    /// All rows with x stated, one after the other: they stand in their order.
    MemberValues at(double x) {
        MemberValues v;
        v.values.resize(sheet->quantities.size());
        for (int pass = 0; pass < 3; ++pass)
            for (const meaning::Quantity& q : sheet->quantities) {
                Value& slot = v.values[q.id.index()];
                if (q.name == "x") {
                    Value stated;
                    stated.state = State::Known;
                    stated.one = x;
                    slot = program->stated(q.id, stated, v);
                } else {
                    slot = program->evaluate(q.id, v);
                }
            }
        return v;
    }
    /// All rows; or all but the axes, which then stand as they are and have their rows in lanes.
    std::vector<QuantityId> rowsBut(bool axes) const {
        std::vector<QuantityId> rows;
        for (const meaning::Quantity& q : sheet->quantities)
            if (!axes || q.kind != meaning::Kind::Each) rows.push_back(q.id);
        return rows;
    }
    /// Every row at every point against the same worked out by itself.
    void compare(const std::vector<double>& x) {
        compare(x, rowsBut(false));
        compare(x, rowsBut(true));
    }
    void compare(const std::vector<double>& x, const std::vector<QuantityId>& rows) {
        points->setVarying(rows);
        enum class Way { Lanes, Kept, OneByOne };
        for (const Way way : {Way::Lanes, Way::Kept, Way::OneByOne}) {
            // Kept: every other point is let go once all is worked out.
            const std::size_t each = way == Way::Kept ? 2 : 1;
            if (x.size() * each > kPoints) continue;
            std::vector<double> all;
            for (std::size_t i = 0; i < x.size() * each; ++i) all.push_back(i % each + 1 == each ? x[i / each] : x[(i / each + 1) % x.size()] + 0.25);
            points->setPoints(all.size());
            for (int pass = 0; pass < 3; ++pass)
                for (const QuantityId id : rows) {
                    const meaning::Quantity& q = sheet->at(id);
                    if (q.name == "x") {
                        PointRow& row = points->row(id);
                        row.setAll(State::Known, all.size());
                        row.numbers.assign(kPoints, 0.0);
                        std::copy(all.begin(), all.end(), row.numbers.begin());
                        points->stated(id);
                    } else if (way == Way::OneByOne) {
                        points->workOneByOne(id);
                    } else {
                        points->work(id);
                    }
                }
            if (way == Way::Kept) {
                std::vector<std::uint32_t> odd;
                for (std::uint32_t i = 1; i < all.size(); i += 2) odd.push_back(i);
                points->keep(odd);
                REQUIRE(points->points() == x.size());
            }
            for (std::size_t i = 0; i < x.size(); ++i) {
                const MemberValues alone = at(x[i]);
                for (const QuantityId id : rows) {
                    const meaning::Quantity& q = sheet->at(id);
                    const PointRow& row = points->row(id);
                    const Value& v = alone.at(q.id);
                    INFO(q.name, " at ", x[i]);
                    REQUIRE(row.states[i] == v.state);
                    if (v.state != State::Known || q.kind == meaning::Kind::Each || q.kind == meaning::Kind::List || q.kind == meaning::Kind::Beam) continue;
                    const std::size_t cases = q.axes.empty() ? 1 : v.many.size();
                    for (std::size_t c = 0; c < cases; ++c)
                        REQUIRE(std::bit_cast<std::uint64_t>(row.numbers[c * kPoints + i]) == std::bit_cast<std::uint64_t>(v.data()[c]));
                    for (std::size_t c = 0; c < v.right.size(); ++c)
                        REQUIRE(std::bit_cast<std::uint64_t>(row.right[c * kPoints + i]) == std::bit_cast<std::uint64_t>(v.right[c]));
                }
            }
        }
    }
};

std::vector<double> spread(double from, double to, std::size_t n) {
    std::vector<double> x;
    for (std::size_t i = 0; i < n; ++i) x.push_back(from + (to - from) * static_cast<double>(i) / static_cast<double>(n - 1));
    return x;
}

} // namespace

TEST_CASE("points in lanes are what each is by itself, to the last bit") {
    Varied v("sheet t\ntable t by k\nk, v\n0, 1\n1, 4\n3, 2\nend\ntable n by k\nk, f\na, 1\nb, 2.5\nc, -1\nend\neach e in n\nchoose c = b from n\ngiven x = 1 "
             "from -2 to 4\n"
             "define f(z) = z^2 + x\nderive a = x^3 - 2*x + 0.1\nderive b = if(x > 1, sqrt(x - 1), x/(x - 3))\nderive d = sqrt(x)\nderive g = min(a, d, "
             "2)\nderive h = e.f*x + c.f\n"
             "derive i = largest(h*x, over e) + sum(e.f*x, over e)\nderive j = interpolate(t.v, x)\nderive k = f(x) + f(2)\nderive l = integral(z*x, z from 0 "
             "to 2)\n"
             "derive m = largest(x - (z - x)^2, z from 0 to 3)\nderive o = round(3*x) + abs(x)^1.5\npart P only if x > 2\nderive q = x + 1\notherwise\nderive "
             "q = x*e.f\npart R only if x < 0\nderive r = x/0.5\n"
             "part S\ncheck s: h <= 3 + q\nrequire u: a < 10\n");
    v.compare(spread(-2.5, 4.5, 97)); // past both limits, roots of negative numbers, past the table
    v.compare({1.0});
    v.compare(spread(0, 2.9, 256));
}

TEST_CASE("beams that vary") {
    Varied v("sheet t\ngiven x [m] = 2 m from 0 m to 9 m\nbeam B from 0 m to x\n stiffness 1e6 (N*m^2)\n support 0 m, x\n load G line 2 (kN/m)\n load Q point "
             "3 (kN) at 1 m\nend\n"
             "derive M [kN*m] = largest(B.M(z), z from 0 m to x)\nderive R [kN] = B.R(1)\nderive w [mm] = B.w(x/2)\ncheck c: M <= 10 (kN*m)\n");
    v.compare({0.5, 1.0, 1.5, 2.0, 4.0, 9.0, 9.5, 0.0});
}

TEST_CASE("even beams of all points at once, and what hinders it at some") {
    const std::string head =
        "sheet t\ntable cs by k\nk, G, Q\none, 1.35, 0\ntwo, 1.35, 1.5\nlift, 0.9, 1.5\nend\neach c in cs\ngiven x [m] = 2 m from 0 m to 9 m\n";
    const std::string tail =
        "derive M [kN*m] = largest(B.M_most(z, c), z from 0 m to x)\nderive H [kN*m] = largest(-(B.M_least(z, c)), z from 0 m to x)\n"
        "derive least [kN*m] = smallest(B.M(z, c), z from 0 m to x)\nderive V [kN] = largest(abs(B.V(z, c)), z from 0 m to x)\n"
        "derive part [kN*m] = largest(B.M_most(z, c), z from x/3 to x/2)\nderive beyond [kN] = largest(B.V(z, G), z from 0 m to x + 1e-14 m)\n"
        "derive z_w [m] = where_largest(B.w_most(z), z from 0 m to x)\n"
        "define span_at(z [m]) = if(z <= x/2, 1 m, 2 m)\ndefine whole_at(z [m]) = if(z <= x, x, 2*x)\n"
        "derive z_1 [m] = where_largest((1.6*B.w_most(z, G) + B.w_most(z, Q))/whole_at(z), z from 0 m to x)\n"
        "derive z_2 [m] = where_largest(B.w_most(z, G)/span_at(z), z from 0 m to x)\n"
        "derive w [mm] = B.w_most(z_1, G) + B.w_least(x/4, c)\nderive w_c [mm] = largest(B.w(z, c), z from 0 m to x)\n"
        "derive R [kN] = max(B.R_most(1, c), B.R_least(2, c))\nderive rest = B.residual\nderive E [kN^2*m^3] = integral(B.M(z, c)^2, z from 0 m to x)\n"
        "derive zero [m] = root(B.V(z, G), z from 0.1*x to 0.9*x)\ncheck c1: M <= 4 (kN*m)\ncheck c2: w <= 2 mm\n";
    const auto beam = [&](const std::string& rows) { return head + "beam B from 0 m to x\n" + rows + "end\n" + tail; };
    const std::string plain = " stiffness 1e6 (N*m^2), 1e7 N\n support 0 m, x\n";
    Varied even(beam(plain + " load G line 0.4 (kN/m^2)*x\n load Q line 3 (kN/m) each span\n load G line 1 (kN/m)\n"));
    even.compare(spread(0.3, 8.9, 41));
    even.compare({0.0, 0.5, 3.0, 9.5}); // no length, past the limits
    even.compare(spread(1.0, 1.9, 256));
    // Upwards, and only without a shear flexibility.
    Varied lifted(beam(" stiffness 1e6 (N*m)*x\n support 0 m, x\n load G line (3 m - x)*1 (kN/m^2)\n load Q line -2 (kN/m) each span\n"));
    lifted.compare(spread(0.3, 8.9, 33));
    // A support or a load that is there at some points only; a load that rises; a stiffness that is none.
    Varied propped(beam(plain + " support x/3 only if x > 4 m\n load G line 2 (kN/m)\n load Q line 3 (kN/m) each span\n"));
    propped.compare(spread(0.3, 8.9, 33));
    propped.compare(spread(0.3, 3.9, 17));
    propped.compare(spread(4.3, 8.9, 17));
    Varied sometimes(beam(plain + " load G line 2 (kN/m)\n load Q line 3 (kN/m) each span only if x < 3 m\n"));
    sometimes.compare(spread(0.3, 8.9, 33));
    sometimes.compare(spread(0.3, 2.9, 33));
    Varied rising(beam(plain + " load G line 2 (kN/m) to 3 (kN/m)\n load Q line 3 (kN/m) from 0 m to x/2\n"));
    rising.compare(spread(0.3, 8.9, 17));
    Varied soft(beam(" stiffness 1e6 (N*m)*(x - 2 m)\n support 0 m, x\n load G line 2 (kN/m)\n load Q line 1 (kN/m)\n"));
    soft.compare(spread(1.5, 2.5, 17));
}

TEST_CASE("beams and ranges go in lanes, and come to what each point is by itself") {
    Varied v("sheet t\ntable cs by k\nk, G, Q\none, 1.35, 0\ntwo, 1.35, 1.5\nlift, 0.9, 1.5\nend\neach c in cs\ngiven x [m] = 2 m from 0.5 m to 4 m\n"
             "derive I [m^4] = 1e-5 (m^3)*x\ndefine deep(z [m]) = if(z < x, x/10 + z/20, x/10 + (2*x - z)/20)\n"
             "beam B from 0 m to 2*x + 1 m\n stiffness 1e10 (N/m^2)*I, 1e7 N\n support 0 m, x, 2*x\n load G line 2 (kN/m)\n load Q line 3 (kN/m) each span\n"
             " load Q point 1 kN at 2*x + 0.5 m\nend\n"
             "beam T from 0 m to 2*x\n stiffness 1e9 (N/m)*deep(x)^3\n support 0 m, 2*x\n load G line 2 (kN/m)\nend\n"
             "derive M [kN*m] = largest(B.M_most(z, c), z from 0 m to 2*x)\nderive H [kN*m] = largest(-(B.M_least(z, c)), z from 0 m to 2*x + 1 m)\n"
             "derive V [kN] = largest(abs(B.V(z, c)), z from 0 m to 2*x + 1 m)\nderive z_w [m] = where_largest(B.w_most(z)/deep(z), z from 0 m to x to 2*x)\n"
             "derive w [mm] = B.w_most(z_w, G) + B.w_least(z_w, c)\nderive low [kN*m] = smallest(min(B.M(z, c), 1 (kN*m)*z/x), z from 0 m to 2*x)\n"
             "derive R [kN] = max(B.R_most(2, c), B.R_least(1, c))\nderive E [kN^2*m^3] = integral(B.M(z, c)^2, z from 0 m to 2*x + 1 m)\n"
             "derive zero [m] = root(B.M(z, G), z from 0.1*x to 0.99*x)\nderive s [mm] = largest(T.w(z, G)*(1 + deep(z)/deep(x)), z from 0 m to x to 2*x)\n"
             "derive odd = largest(1/(z - 2 m)*1 m, z from 0.5*x to x)\n"
             "check c1: M <= 4 (kN*m)\ncheck c2: s <= 2 mm + x/1000\n");
    v.compare(spread(0.6, 3.9, 41));
    v.compare({0.4, 1.0, 1.7, 3.3, 4.5}); // past both limits
    v.compare({2.2});
    v.compare(spread(1.0, 1.9, 256));
}

TEST_CASE("sums of deflections go in lanes, with places that beams say and others that are searched") {
    Varied v("sheet t\ntable cs by k\nk, G, Q\none, 1.35, 0\ntwo, 1.35, 1.5\nlift, 0.9, 1.5\nend\neach c in cs\ngiven x [m] = 2 m from 0.5 m to 4 m\n"
             "beam B from 0 m to x + if(x > 2 m, 1.5 m, 0 m)\n stiffness 1e5 (N*m)*x, 1e6 (N/m)*x\n support 0 m, x\n support x + 1.5 m only if x > 2 m\n"
             " load G line 2 (kN/m)\n load Q line 3 (kN/m) each span\n load Q point 1 kN at 0.3*x\nend\n"
             "beam C from 0 m to x\n stiffness 1e5 (N*m^2)\n support 0 m, x\n load G line 2 (kN/m)\n load Q line 3 (kN/m) each span only if x > 3 m\nend\n"
             "derive end_ [m] = x + if(x > 2 m, 1.5 m, 0 m)\ndefine span(z [m]) = if(z <= x, x, 1.5 m)\n"
             "define later(z [m]) = (1 + x/(4 m))*B.w_most(z, G) + 1.2*B.w_most(z, Q)\n"
             "derive p [m] = where_largest(B.w_most(z)/span(z), z from 0 m to end_)\nderive q [m] = where_largest(later(z)/span(z), z from 0 m to end_)\n"
             "derive r [mm] = smallest(B.w_least(z, c) - 0.3*B.w_most(z, G)*if(z < 1 m, 1, x/(2 m)), z from 0 m to x to end_)\n"
             "derive s [mm] = largest(C.w(z), z from 0.1*x to 0.8*x)\nderive t [mm] = largest(B.w_most(z, c)*z/x, z from 0 m to end_)\n"
             "derive u [mm] = largest(B.w_most(z, G)/(x - 1 m)*1 m + B.w_most(z, Q), z from 0 m to end_)\n"
             "derive w [mm] = largest(B.w_most(z, G), z from 1 m to x)\ncheck c1: r <= p/100\n");
    v.compare(spread(0.6, 3.9, 41));
    v.compare({0.4, 1.0, 2.0, 2.000001, 3.0, 4.5}); // past both limits, a range without length, a division by zero
    v.compare({2.2});
    v.compare(spread(1.0, 1.9, 256));
}

TEST_CASE("a searched row of many points costs no formula by itself") {
    Varied v("sheet t\ngiven x [m] = 2 m from 0.5 m to 4 m\nderive W [kN/m] = x*1 (kN/m^2)\nbeam B from 0 m to x\n stiffness 1e6 (N*m^2)\n support 0 m, x\n "
             "load G line "
             "2 (kN/m)\nend\nderive M [kN*m] = largest(B.M(z)*x/(1 m), z from 0 m to x)\n"
             "derive w [mm] = largest(max(B.w(z) + x/1000, 0 m), z from 0 m to x)\nderive w_0 [mm] = largest(B.w(z) + x/1000, z from 0 m to x)\n"
             "check c: M <= 9 (kN*m)\n");
    std::vector<QuantityId> rows;
    for (const meaning::Quantity& q : v.sheet->quantities) rows.push_back(q.id);
    v.points->setVarying(rows);
    v.points->setPoints(200);
    PointRow& x = v.points->row(v.sheet->find("x")->id);
    x.setAll(State::Known, 200);
    x.numbers = spread(1, 3, 200);
    x.numbers.resize(kPoints);
    v.points->stated(v.sheet->find("x")->id);
    v.points->work(v.sheet->find("W")->id);
    const auto unsolved = v.points->counts();
    v.points->work(v.sheet->find("B")->id);
    // One span under an even load: all at once.
    CHECK(v.points->row(v.sheet->find("B")->id).lines != nullptr);
    CHECK(v.points->counts().scalar == unsolved.scalar);
    const auto before = v.points->counts();
    v.points->work(v.sheet->find("M")->id);
    v.points->work(v.sheet->find("w")->id);
    CHECK(v.points->row(v.sheet->find("M")->id).allKnown);
    CHECK(v.points->row(v.sheet->find("w")->id).allKnown);
    CHECK(v.points->counts().scalar == before.scalar);
    CHECK(v.points->counts().lanes > before.lanes + 200 * 128);
    // What a beam says of its deflection costs a few places.
    const auto between = v.points->counts();
    v.points->work(v.sheet->find("w_0")->id);
    CHECK(v.points->row(v.sheet->find("w_0")->id).allKnown);
    for (std::size_t i = 0; i < 200; ++i)
        CHECK(v.points->row(v.sheet->find("w_0")->id).numbers[i] == doctest::Approx(v.points->row(v.sheet->find("w")->id).numbers[i]).epsilon(1e-13));
    CHECK(v.points->counts().scalar == between.scalar);
    CHECK(v.points->counts().lanes < between.lanes + 200 * 10);
}

TEST_CASE("roots go in lanes: found, missing, at an end, in a jump, each as by itself") {
    std::mt19937 random(20'260'729);
    std::uniform_real_distribution<double> number(-3.0, 3.0);
    for (int round = 0; round < 6; ++round) {
        const auto c = [&] { return std::to_string(number(random)); };
        Varied v("sheet t\ntable n by k\nk, f\na, 1\nb, 2.5\nc, -1\nend\neach e in n\ngiven x = 1 from -2 to 4\ndefine f(z) = z^3 + x*z^2 + (" + c() +
                 ")*z + (" + c() +
                 ")\n"
                 "derive a = root(f(z), z from -2 to 2)\n"                                       // some have one, some three, some none
                 "derive b = root(z^2 - x, z from 0 to 2)\n"                                     // at the left end; none where x < 0
                 "derive d = root(exp(z/3)*e.f - x + abs(z - 0.3), z from -3 to x)\n"            // in cases; empty and backward ranges
                 "derive g = root(if(z < x, -1 - z^2, z - 2), z from -1 to 1 to 3)\n"            // a jump, and a root behind it
                 "derive h = root(z - x, z from x to 5)\nderive i = root(z, z from -x^2 to 0)\n" // at an end
                 "derive j = if(x > 0, root(z^2 - x, z from 0 to 3), -x)\n"                      // asked of some only
                 "derive k = root(1/(z - 1.5) + x, z from 0 to 3)\n"                             // a pole: no zero there
                 "derive l = 1/(root(z*exp(z) - x, z from -1 to 3) - 0.25)\n"
                 "derive m = largest(root(z^2 - x, z from 0 to 3)*e.f, over e)\ncheck s: b <= 1 + root(cos(z) - z*x, z from 0 to 2)\n");
        v.compare(spread(-2.5, 4.5, 97));
        v.compare(spread(0.5, 3.9, 256));
        v.compare({0.0});
        v.compare({0.25, 1.0, 2.25, 4.0, -1.0});
    }
}

TEST_CASE("a root of many points costs no formula by itself, and a point without one is no worse for the others") {
    Varied v("sheet t\ngiven x = 1 from -2 to 4\nderive p = 2*x\nderive q = root(exp(z) - p, z from -1 to 3)\ncheck s: q <= 9\n");
    std::vector<QuantityId> rows;
    for (const meaning::Quantity& q : v.sheet->quantities) rows.push_back(q.id);
    v.points->setVarying(rows);
    v.points->setPoints(200);
    PointRow& x = v.points->row(v.sheet->find("x")->id);
    const QuantityId p = v.sheet->find("p")->id, q = v.sheet->find("q")->id;
    x.setAll(State::Known, 200);
    x.numbers = spread(1, 3, 200);
    x.numbers.resize(kPoints);
    v.points->stated(v.sheet->find("x")->id);
    v.points->work(p);
    const auto before = v.points->counts();
    v.points->work(q);
    CHECK(v.points->row(q).allKnown);
    CHECK(v.points->counts().scalar == before.scalar);
    x.numbers[17] = x.numbers[120] = -1.0;
    v.points->work(p);
    const auto between = v.points->counts();
    v.points->work(q);
    CHECK(!v.points->row(q).allKnown);
    for (std::size_t i = 0; i < 200; ++i) CHECK(v.points->row(q).states[i] == (i == 17 || i == 120 ? State::Failed : State::Known));
    // Two points by themselves, once each.
    CHECK(v.points->counts().scalar - between.scalar < 12);
    CHECK(v.points->row(q).problem);
}

namespace {

const char* const kStresses =
    "sheet t\ntable cs by k\nk, G, Q\none, 1.35, 0\ntwo, 1.35, 1.5\nlift, 0.9, -1.5\nend\ntable ages by k\nk, creep\nnew, 0\nold, 1\nend\n"
    "each c in cs\neach a in ages\ngiven x [m] = 2 m from 0.5 m to 4 m\ndefine deep(z [m]) = if(z < x, x/10 + z/20, x/10 + (2*x - z)/20)\n"
    "beam B from 0 m to 2*x\n stiffness 1e9 (N/m)*deep(x)^3, 1e7 N\n support 0 m, 1.2*x, 2*x\n load G line 2 (kN/m)\n load Q line 3 (kN/m) each span\nend\n"
    "derive soft = 1 + a.creep*if(c.Q > 0, 0.4, 0.8)\n"
    "define low(z [m]) = B.M_most(z, c)/deep(z)^2*soft + a.creep*(z/x)*1 (kN/m)\ndefine top(z [m]) = -(B.M_least(z, c))/deep(z)^2*soft + abs(B.V(z, "
    "c))/deep(z)\n"
    "derive z_l [m] = where_largest(low(z), z from 0 m to x to 2*x)\nderive s_l [kN/m] = largest(low(z), z from 0 m to x to 2*x)\n"
    "derive z_t [m] = where_largest(max(low(z), top(z)), z from 0 m to x to 2*x)\nderive s_s [kN/m] = smallest(low(z) + top(z), z from 0 m to x to 2*x)\n"
    "derive later [kN/m] = s_l*x/(1 m)\nderive s_a [kN/m] = largest(min(low(z), later), z from 0 m to x to 2*x)\n"
    "derive z_w [m] = where_largest(B.w_most(z, G)*(1 + deep(z)/x), z from 0 m to x to 2*x)\nderive w [mm] = largest(B.w(z, G), z from 0 m to x to 2*x)\n"
    "derive half [kN/m] = largest(low(z), z from 0 m to x)\nderive bad [kN/m] = largest(low(z)*sqrt(2.5 - x/(1 m)), z from 0 m to x to 2*x)\n"
    "check ch: s_l <= 900 (kN/m)\n";

} // namespace

TEST_CASE("rows that search the same range are searched together, in all their cases, and come to what each is by itself") {
    Varied v(kStresses);
    v.compare(spread(0.6, 2.4, 33));
    v.compare(spread(0.6, 3.9, 41)); // one of them fails at some
    v.compare({0.4, 1.0, 1.7, 3.3, 4.5});
    v.compare({2.2});
    v.compare(spread(1.0, 1.9, 256));
}

TEST_CASE("what was searched together costs nothing more, and is not given out once something that it reads is another") {
    Varied v(kStresses);
    v.points->setVarying(v.rowsBut(true));
    v.points->setPoints(40);
    const auto id = [&](const char* name) { return v.sheet->find(name)->id; };
    PointRow& x = v.points->row(id("x"));
    const auto state = [&](double from) {
        x.setAll(State::Known, 40);
        x.numbers = spread(from, from + 0.5, 40);
        x.numbers.resize(kPoints);
        v.points->stated(id("x"));
    };
    state(1.0);
    for (const char* name : {"B", "soft", "z_l"}) v.points->work(id(name));
    const auto before = v.points->counts();
    for (const char* name : {"s_l", "z_t", "s_s"}) v.points->work(id(name));
    CHECK(v.points->counts().lanes == before.lanes);
    CHECK(v.points->counts().scalar == before.scalar);
    // Another x, and nobody says that these are other points.
    state(1.5);
    v.points->work(id("B"));
    v.points->work(id("soft"));
    v.points->work(id("z_t"));
    CHECK(v.points->counts().lanes > before.lanes);
    const MemberValues alone = v.at(x.numbers[17]);
    for (std::size_t c = 0; c < 6; ++c)
        CHECK(std::bit_cast<std::uint64_t>(v.points->row(id("z_t")).numbers[c * kPoints + 17]) == std::bit_cast<std::uint64_t>(alone.at(id("z_t")).many[c]));
    // Only the beam is another: one that is solved anew.
    const auto between = v.points->counts();
    v.points->work(id("B"));
    v.points->work(id("s_s"));
    CHECK(v.points->counts().lanes > between.lanes);
}
