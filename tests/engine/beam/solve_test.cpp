// SPDX-License-Identifier: MIT
// Laws that hold for any line, tried on random ones (fixed seed, own mapping of the generator's bits, so
// the same lines everywhere).
#include <cstring>
#include <random>

#include "tests/engine/beam/lines.h"

using namespace spanwright::beam;
using namespace spanwright::beam::lines;

namespace {

class Dice {
public:
    explicit Dice(unsigned seed) : m_bits(seed) {}
    double between(double a, double b) { return a + (b - a) * (static_cast<double>(m_bits()) / 4294967296.0); }
    std::size_t upTo(std::size_t n) { return static_cast<std::size_t>(between(0.0, static_cast<double>(n) + 1.0)); }
    bool coin() { return upTo(1) == 1; }

private:
    std::mt19937 m_bits;
};

/// Stiffness that may be turned round: a function of the place as a share of the length.
struct Varies {
    double ei, ga, slope, wave;
    [[nodiscard]] double at(double share) const { return 1.0 + slope * share + 0.2 * std::sin(wave * share); }
};

struct Random {
    Line line;
    Varies stiffness;
};

Random randomLine(Dice& dice, std::uint32_t actions = 1) {
    Random r;
    Line& l = r.line;
    l.from = 0.0;
    l.to = dice.between(1.0, 20.0);
    const std::size_t supports = 1 + dice.upTo(5);
    for (std::size_t i = 0; i < supports; ++i) {
        const double cell = l.to / static_cast<double>(supports);
        const double at = cell * (static_cast<double>(i) + dice.between(0.0, 0.9));
        l.supports.push_back({i == 0 && dice.coin() ? 0.0 : at, supports == 1 || dice.upTo(4) == 0, dice.coin() ? 0.0 : dice.between(-0.01, 0.01)});
    }
    if (dice.coin()) l.supports.push_back(simple(l.to));
    if (l.supports.size() < 2) l.supports[0].fixed = true;
    for (std::size_t i = 1 + dice.upTo(5); i-- > 0;) {
        const double a = dice.between(0.0, l.to), b = dice.between(0.0, l.to);
        const auto action = static_cast<std::uint32_t>(dice.upTo(actions - 1));
        switch (dice.upTo(2)) {
        case 0: l.loads.push_back(point(dice.between(-5e3, 2e4), a, action)); break;
        case 1: l.loads.push_back(couple(dice.between(-5e3, 5e3), a, action)); break;
        default: l.loads.push_back(trapezoid(dice.between(-1e3, 4e3), dice.between(-1e3, 4e3), a, b, action)); break;
        }
    }
    l.actionCount = actions;
    r.stiffness = {dice.between(1e5, 1e6), dice.between(1e6, 1e7), dice.between(0.0, 2.0), dice.between(0.0, 6.0)};
    l.constantStiffness = dice.coin();
    if (l.constantStiffness) r.stiffness.slope = r.stiffness.wave = 0.0;
    const Varies s = r.stiffness;
    const double length = l.to;
    l.ei = varying([=](double x) { return s.ei * s.at(x / length); });
    if (dice.coin()) l.ga = varying([=](double x) { return s.ga * s.at(x / length); });
    return r;
}

/// Sizes of the answers, to compare small values with.
struct Scale {
    double moment = 0.0, shear = 0.0, sag = 0.0;
};

Scale scaleOf(const Solved& s, double length) {
    Scale scale;
    for (int i = 0; i <= 50; ++i) {
        const double x = length * i / 50.0;
        scale.moment = std::max(scale.moment, std::abs(s.moment(x, kOne).greatest()));
        scale.shear = std::max(scale.shear, std::abs(s.shear(x, kOne).greatest()));
        scale.sag = std::max(scale.sag, std::abs(s.deflection(x, kOne).greatest()));
    }
    return scale;
}

bool sameBits(double a, double b) { return std::memcmp(&a, &b, sizeof a) == 0; }

} // namespace

TEST_CASE("loads solved together are the sum of loads solved apart; the residual is rounding") {
    Dice dice(11);
    for (int n = 0; n < 200; ++n) {
        Random r = randomLine(dice, 2);
        r.line.sinkAction = 1;
        const Solved apart = solved(r.line);
        for (Load& load : r.line.loads) {
            const double factor = load.action == 0 ? 1.2 : -0.7;
            load.size *= factor;
            load.sizeEnd *= factor;
            load.action = 0;
        }
        for (Support& s : r.line.supports) s.sink *= -0.7;
        r.line.actionCount = 1;
        r.line.sinkAction = 0;
        const Solved together = solved(r.line);
        const Scale scale = scaleOf(together, r.line.to);
        const std::vector<double> factors{1.2, -0.7};
        for (int i = 0; i <= 20; ++i) {
            const double x = r.line.to * i / 20.0;
            CHECK(near(apart.moment(x, factors).most, together.moment(x, kOne).most, 1e-10, scale.moment));
            CHECK(near(apart.shear(x, factors).least, together.shear(x, kOne).least, 1e-10, scale.shear));
            CHECK(near(only(apart.deflection(x, factors)), sagAt(together, x), 1e-10, scale.sag));
        }
    }
}

TEST_CASE("a line turned round gives the same answers turned round") {
    Dice dice(12);
    for (int n = 0; n < 200; ++n) {
        CAPTURE(n);
        const Random r = randomLine(dice);
        const double length = r.line.to;
        Line back = r.line;
        for (Support& s : back.supports) s.at = length - s.at;
        for (Load& load : back.loads) {
            load.from = length - load.from;
            load.to = length - load.to;
            if (load.shape == Load::Shape::Moment) load.size = -load.size;
        }
        const Varies v = r.stiffness;
        back.ei = varying([=](double x) { return v.ei * v.at((length - x) / length); });
        if (back.ga) back.ga = varying([=](double x) { return v.ga * v.at((length - x) / length); });
        const Solved there = solved(r.line), here = solved(back);
        const Scale scale = scaleOf(there, length);
        for (int i = 0; i <= 20; ++i) {
            const double x = length * (i + 0.13) / 20.3, y = length - x;
            CHECK(near(here.moment(y, kOne).most, there.moment(x, kOne).most, 1e-9, scale.moment));
            CHECK(near(-here.shear(y, kOne).most, there.shear(x, kOne).least, 1e-9, scale.shear));
            CHECK(near(here.deflection(y, kOne).most, there.deflection(x, kOne).most, 1e-9, scale.sag));
        }
        const std::size_t count = there.supportCount();
        for (std::size_t i = 0; i < count; ++i) {
            CHECK(near(reactionAt(here, count - 1 - i), reactionAt(there, i), 1e-9, scale.shear));
            CHECK(near(-holdingAt(here, count - 1 - i), holdingAt(there, i), 1e-9, scale.moment));
        }
    }
}

TEST_CASE("reciprocity: what a force at a does at b, a force at b does at a") {
    Dice dice(13);
    for (int n = 0; n < 150; ++n) {
        Line l = randomLine(dice).line;
        for (Support& s : l.supports) s.sink = 0.0;
        const double a = dice.between(0.0, l.to), b = dice.between(0.0, l.to);
        l.loads = {point(1.0, a)};
        const Solved first = solved(l);
        l.loads = {point(1.0, b)};
        const Solved second = solved(l);
        CHECK(near(sagAt(first, b), sagAt(second, a), 1e-9, 1e-3 * std::max(std::abs(sagAt(first, a)), std::abs(sagAt(second, b)))));
    }
}

TEST_CASE("a support replaced by its reaction changes nothing") {
    Dice dice(14);
    int tried = 0;
    for (int n = 0; n < 200; ++n) {
        Line l = randomLine(dice).line;
        const std::size_t gone = dice.upTo(l.supports.size() - 1);
        if (l.supports.size() < 3 || l.supports[gone].fixed) continue;
        ++tried;
        const Solved with = solved(l);
        l.loads.push_back(point(-reactionAt(with, gone), l.supports[gone].at));
        l.supports.erase(l.supports.begin() + static_cast<std::ptrdiff_t>(gone));
        const Solved without = solved(l);
        const Scale scale = scaleOf(with, l.to);
        for (int i = 0; i <= 20; ++i) {
            const double x = l.to * (i + 0.13) / 20.3;
            CHECK(near(without.moment(x, kOne).most, with.moment(x, kOne).most, 1e-8, scale.moment));
            CHECK(near(without.deflection(x, kOne).most, with.deflection(x, kOne).most, 1e-8, scale.sag));
        }
    }
    CHECK(tried > 40);
}

TEST_CASE("between breaks: dM = integral of V, and EI w'' = -M") {
    Dice dice(15);
    for (int n = 0; n < 100; ++n) {
        Line l = randomLine(dice).line;
        l.ga = nullptr;
        const Solved s = solved(l);
        const Scale scale = scaleOf(s, l.to);
        for (std::size_t i = 0; i + 1 < s.breaks().size(); ++i) {
            const double a = s.breaks()[i], b = s.breaks()[i + 1], h = b - a;
            if (h < 1e-3 * l.to) continue;
            const double a1 = a + 0.1 * h, b1 = b - 0.1 * h, mid = 0.5 * (a1 + b1);
            const double simpson = (b1 - a1) / 6 * (shearAt(s, a1) + 4 * shearAt(s, mid) + shearAt(s, b1));
            CHECK(near(momentAt(s, b1) - momentAt(s, a1), simpson, 1e-10, scale.moment));
            const double d = std::min(0.05 * l.to, 0.2 * h);
            const double bent =
                (-sagAt(s, mid - 2 * d) + 16 * sagAt(s, mid - d) - 30 * sagAt(s, mid) + 16 * sagAt(s, mid + d) - sagAt(s, mid + 2 * d)) / (12 * d * d);
            double ei = 0.0;
            l.ei(&mid, 1, &ei);
            if (l.constantStiffness && d > 0.01 * l.to) CHECK(near(bent * ei, -momentAt(s, mid), 1e-7, std::max(scale.moment, ei * scale.sag / (l.to * l.to))));
        }
    }
}

TEST_CASE("units do not matter: powers of two change no bit, powers of ten no digit") {
    Dice dice(16);
    const auto scaled = [](const Random& r, double metre, double newton) {
        Line l = r.line;
        l.to *= metre;
        for (Support& s : l.supports) {
            s.at *= metre;
            s.sink *= metre;
        }
        for (Load& load : l.loads) {
            const double size = load.shape == Load::Shape::Line ? newton / metre : load.shape == Load::Shape::Point ? newton : newton * metre;
            load.size *= size;
            load.sizeEnd *= size;
            load.from *= metre;
            load.to *= metre;
        }
        const Stiffness ei = l.ei, ga = l.ga;
        const auto wrap = [=](const Stiffness& f, double factor) {
            return varying([=](double x) {
                double at = x / metre, out = 0.0;
                f(&at, 1, &out);
                return out * factor;
            });
        };
        l.ei = wrap(ei, newton * metre * metre);
        if (ga) l.ga = wrap(ga, newton);
        return l;
    };
    for (int n = 0; n < 60; ++n) {
        CAPTURE(n);
        const Random r = randomLine(dice);
        const Solved plain = solved(r.line);
        const Solved twos = solved(scaled(r, 1024.0, 1.0 / 65536.0)), tens = solved(scaled(r, 1000.0, 1e6));
        const Scale scale = scaleOf(plain, r.line.to);
        for (int i = 0; i <= 20; ++i) {
            const double x = r.line.to * (i + 0.13) / 20.3;
            CHECK(sameBits(twos.moment(1024 * x, kOne).most, plain.moment(x, kOne).most * (1024.0 / 65536.0)));
            CHECK(sameBits(twos.shear(1024 * x, kOne).most, plain.shear(x, kOne).most / 65536.0));
            CHECK(sameBits(twos.deflection(1024 * x, kOne).most, plain.deflection(x, kOne).most * 1024.0));
            CHECK(near(tens.moment(1000 * x, kOne).most, plain.moment(x, kOne).most * 1e9, 1e-10, scale.moment * 1e9));
            CHECK(near(tens.deflection(1000 * x, kOne).most, plain.deflection(x, kOne).most * 1e3, 1e-10, scale.sag * 1e3));
        }
    }
}

TEST_CASE("supports and ends are met to the last bit") {
    Dice dice(17);
    int hinged = 0;
    for (int n = 0; n < 300; ++n) {
        Line l = randomLine(dice).line;
        if (dice.coin()) l.supports.back() = simple(l.to, l.supports.back().sink);
        if (l.supports.size() < 2) continue;
        const Solved s = solved(l);
        std::sort(l.supports.begin(), l.supports.end(), [](const Support& a, const Support& b) { return a.at < b.at; });
        std::size_t alike = 0;
        for (const Support& support : l.supports) alike += sagAt(s, support.at) == support.sink ? 1 : 0;
        CHECK(alike == l.supports.size());
        const Support& last = l.supports.back();
        if (last.fixed && last.at == l.to) continue;
        ++hinged;
        CHECK(momentAt(s, l.to) == 0.0);
    }
    CHECK(hinged > 100);
}

TEST_CASE("very unequal spans stay accurate") {
    // Three moments by hand: 2 M (e + l) = -q l^3/4.
    const double l = 4.0, q = 1500.0, ei = 3e5;
    for (const double e : {1.0, 1e-3, 1e-6, 1e-8}) {
        CAPTURE(e);
        const Solved s = solved(line(e + l, {simple(0), simple(e), simple(e + l)}, {uniform(q, e, e + l)}, ei));
        CHECK(near(momentAt(s, e), -q * l * l * l / (8 * (e + l)), 1e-9 * std::max(1.0, 1e-7 / e)));
        CHECK(near(sagAt(s, e + l / 2), 5 * q * std::pow(l, 4) / (384 * ei) + momentAt(s, e) * l * l / (16 * ei), 1e-9));
    }
}

TEST_CASE("many spans") {
    const std::size_t spans = 150;
    const double l = 2.0, q = 1000.0;
    std::vector<Support> supports;
    for (std::size_t i = 0; i <= spans; ++i) supports.push_back(simple(l * static_cast<double>(i)));
    const Solved s = solved(line(l * static_cast<double>(spans), supports, {uniform(q, 0, l * static_cast<double>(spans))}, 2e5));
    // Far from the ends every span is as good as clamped.
    CHECK(near(momentAt(s, l * 75), -q * l * l / 12, 1e-12));
    CHECK(near(sagAt(s, l * 75.5), q * std::pow(l, 4) / (384 * 2e5), 1e-11));
    CHECK(near(reactionAt(s, 75), q * l, 1e-12));
}

TEST_CASE("a line may begin anywhere") {
    Line l = line(4, {simple(0), simple(3)}, {trapezoid(100, 900, 1, 4), point(500, 2)}, 1e5, 1e6);
    const Solved here = solved(l);
    l.from = 128.0;
    l.to += 128.0;
    for (Support& s : l.supports) s.at += 128.0;
    for (Load& load : l.loads) {
        load.from += 128.0;
        load.to += 128.0;
    }
    const Solved there = solved(l);
    for (double x = 0.125; x < 4.0; x += 0.25) {
        CHECK(near(momentAt(there, 128.0 + x), momentAt(here, x), 1e-12, 100.0));
        CHECK(near(sagAt(there, 128.0 + x), sagAt(here, x), 1e-12, 1e-4));
    }
    CHECK(std::isnan(there.moment(1.0, kOne).most));
}
