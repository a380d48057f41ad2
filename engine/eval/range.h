// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

namespace spanwright::eval {

/// Evaluates a function at n places; false when it has no value at one of them (the reason is kept
/// elsewhere). Whether it runs by blocks or one by one makes no difference to what follows.
using Body = std::function<bool(const double* x, std::size_t n, double* out)>;

struct RangeResult {
    enum class State : std::uint8_t {
        Ok,
        BodyFailed, ///< the body said no
        Unsettled,  ///< an integral did not reach its accuracy; `place`: where it is worst
        NoRoot,     ///< no change of sign; `least` and `most` of what was seen
        Jump,       ///< the sign changes by a jump at `place`, without a zero
    };
    State state = State::Ok;
    double value = 0.0;
    double place = 0.0;
    double least = 0.0, most = 0.0;
};

/// Part of the largest value by which others count as equal to it.
inline constexpr double kAlike = 1e-12;

/// Just inside of a and of b, a < b. Beside 0 not the very next number: what is worked out with that takes a hundred times as long.
[[nodiscard]] inline double justAbove(double a, double b) { return std::max(std::nextafter(a, b), a + (b - a) * 0x1p-60); }
[[nodiscard]] inline double justBelow(double a, double b) { return std::min(std::nextafter(b, a), b - (b - a) * 0x1p-60); }

// Points are ascending: both ends with kinks between; at least two, first < last.
//
// Integrals and searches say at which places they want the function and go on when they have been given its values: so one
// can be worked through alone, or very many side by side.

/// The largest value and the first place that has it (to 1e-12 of the value). Every piece is sampled, at
/// its ends also just inside, so that at a jump both sides count; then the neighbourhood of every local
/// maximum is searched by ever finer grids, evenly and closer about the vertex of the parabola through what is
/// known, until no more than 1e-13 of the value can be gained. `sign` -1 finds the smallest.
class LargestSearch {
public:
    /// Begins anew.
    void begin(const std::vector<double>& points, double sign);
    /// Places where the function is wanted next; none: done.
    [[nodiscard]] const std::vector<double>& wanted() const { return m_x; }
    /// Its values there.
    void take(const double* values);
    /// Whether both want the same places next.
    [[nodiscard]] bool wantsLike(const LargestSearch& other) const;
    [[nodiscard]] RangeResult result() const;

private:
    struct Best {
        double x = 0.0, value = 0.0;
    };
    struct Bracket {
        Best a, best, b;
        bool open = true;
        bool smooth = false; ///< the samples around it lie on a parabola, as nearly as matters
    };
    void samplePiece();
    void takePiece(const double* f);
    [[nodiscard]] bool smoothAround(const double* f, std::size_t sample, double drop) const;
    void refine();
    void takeGrids(const double* f);
    void close(Bracket& bracket, double worthIt) const;

    std::vector<double> m_points;
    double m_sign = 1.0, m_fine = 0.0;
    std::size_t m_piece = 0;
    int m_round = 0;
    std::vector<double> m_x, m_f;
    std::vector<std::uint64_t> m_marks;
    std::vector<Best> m_ends;
    std::vector<Bracket> m_brackets;
    std::vector<std::size_t> m_owners;
};

/// Gauss-Legendre panels of 15 points (nodes of Boost.Math) between the points, halved where one panel
/// and its two halves disagree, until what is left is below 1e-10 of the integral of |f|.
class Integration {
public:
    void begin(const std::vector<double>& points);
    [[nodiscard]] const std::vector<double>& wanted() const { return m_x; }
    void take(const double* values);
    [[nodiscard]] RangeResult result() const { return m_result; }

private:
    struct Panel {
        double a = 0.0, b = 0.0;
        double sum = 0.0;  ///< this panel's own estimate
        double size = 0.0; ///< estimate of the integral of |f|
        int halvings = 0;
    };
    void ask(const std::vector<Panel>& panels);
    void halve();
    void settle();
    void finish(RangeResult::State state, double place);

    std::vector<double> m_x;
    std::vector<Panel> m_open, m_halves;
    bool m_first = true;
    double m_from = 0.0, m_to = 0.0;
    double m_settled = 0.0, m_settledSize = 0.0, m_left = 0.0;
    RangeResult m_result;
};

/// The first zero from the left: 128 samples a piece, then, where the sign changes, the TOMS 748 algorithm of Boost.Math. It
/// is run anew for every value that it has been given, until it wants none: so the library's own steps decide.
class RootSearch {
public:
    void begin(const std::vector<double>& points);
    [[nodiscard]] const std::vector<double>& wanted() const { return m_x; }
    void take(const double* values);
    [[nodiscard]] RangeResult result() const { return m_result; }

private:
    struct Known {
        double x = 0.0, value = 0.0;
    };
    void lookOn();
    [[nodiscard]] bool closeIn();

    std::vector<double> m_x;
    std::vector<Known> m_samples, m_asked; ///< asked: between the samples at hand, in the order in which they were wanted
    std::size_t m_at = 0;
    double m_size = 0.0; ///< the largest magnitude seen
    bool m_jumped = false;
    RangeResult m_result;
};

/// Works one of them through.
template <class Search> RangeResult workThrough(Search& search, const Body& body) {
    std::vector<double> f;
    while (!search.wanted().empty()) {
        f.resize(search.wanted().size());
        if (!body(search.wanted().data(), f.size(), f.data())) {
            RangeResult failed;
            failed.state = RangeResult::State::BodyFailed;
            return failed;
        }
        search.take(f.data());
    }
    return search.result();
}

[[nodiscard]] RangeResult integrate(const Body& body, const std::vector<double>& points);
[[nodiscard]] RangeResult searchLargest(const Body& body, const std::vector<double>& points, double sign);

[[nodiscard]] RangeResult findRoot(const Body& body, const std::vector<double>& points);

} // namespace spanwright::eval
