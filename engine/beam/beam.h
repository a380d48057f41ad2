// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "engine/base/result.h"

namespace spanwright::beam {

/// A straight member on any number of supports, as a line. SI throughout: m, N, N*m, N*m^2.
/// x runs along it; loads and deflections are positive downwards, reactions upwards; M is positive when
/// it stretches the bottom edge (sagging); V = dM/dx, positive left of midspan of a simple span.
/// Settlements are positive downwards. Supports may be given in any order; everywhere below they are
/// counted from the left.
struct Support {
    double at = 0.0;
    bool fixed = false; ///< also holds the rotation
    double sink = 0.0;  ///< settlement, positive downwards (acts as an action of its own, see Line::sinkAction)
};

struct Load {
    enum class Shape : std::uint8_t { Line, Point, Moment };
    Shape shape = Shape::Line;
    std::uint32_t action = 0;
    double size = 0.0, sizeEnd = 0.0; ///< N/m at `from` and at `to` (equal: uniform); N; N*m (clockwise positive: raises M to its right)
    double from = 0.0, to = 0.0;      ///< Point, Moment: at `from`
    bool eachSpan = false;            ///< may act on any choice of spans: enters the envelope by parts
};

using Stiffness = std::function<void(const double* x, std::size_t n, double* out)>;

struct Line {
    double from = 0.0, to = 0.0;
    std::vector<Support> supports;
    std::vector<Load> loads;
    std::uint32_t actionCount = 0;
    Stiffness ei; ///< empty: no stiffness known; then only determinate lines are solved
    Stiffness ga; ///< empty: no shear flexibility
    /// 1/m: the shear that inclined flanges take, for each unit of moment: the web is left with
    /// V - relief*M, and only that slips by GA. Empty: none. May have either sign, and may jump at kinks.
    Stiffness relief;
    bool constantStiffness = false; ///< a promise that ei (and ga, relief) do not vary: closed forms are used
    std::vector<double> kinks;      ///< where EI(x), GA(x) or relief(x) has a kink or a jump
    /// Index of the action that carries the supports' settlements; none: they always act.
    std::uint32_t sinkAction = 0xffffffffU;
};

/// Why a line cannot be solved, in words; `support` or `load` is its index in the Line where one is to blame.
struct Problem {
    enum class What : std::uint8_t { NoSpan, SupportOutside, LoadOutside, SupportsCoincide, Unstable, NoStiffness, BadStiffness, NotAccurate };
    What what{};
    std::string message;
    std::int32_t support = -1, load = -1;
};

/// Least, most and greatest-in-magnitude over all arrangements of the `eachSpan` loads.
struct Range3 {
    double least = 0.0, most = 0.0;
    /// The one of larger magnitude; ties: most.
    [[nodiscard]] double greatest() const { return (most >= -least) ? most : least; }
};

struct SolvedData;
struct SagTerm;

/// The answers. Immutable and cheap to copy; may be read from several threads; keeps no hold on the Line
/// or its stiffness functions.
class Solved {
public:
    /// Nothing solved: no supports, no breaks, every value is NaN.
    Solved();

    /// Factors, one per action, turn the actions into one case. Loads that may act on any choice of spans
    /// are added span by span (and action by action) where they make the value worse; the others always act.
    /// Exactly at a jump (V at a point load or support, M at a moment or fixed support) least and most are
    /// taken over both sides, so that greatest() is the side of larger magnitude; to ask for a side use x
    /// just left or right of it. x outside [from, to] by more than 1e-12 of the length is NaN, and so is
    /// everything when `factors` holds fewer than actionCount numbers.
    [[nodiscard]] Range3 moment(double x, const std::vector<double>& factors) const;
    [[nodiscard]] Range3 shear(double x, const std::vector<double>& factors) const;
    /// V - relief*M of one and the same arrangement; without a relief, V.
    [[nodiscard]] Range3 webShear(double x, const std::vector<double>& factors) const;
    [[nodiscard]] Range3 deflection(double x, const std::vector<double>& factors) const;
    [[nodiscard]] Range3 reaction(std::size_t support, const std::vector<double>& factors) const;
    /// Fixed supports: the holding moment that the support puts on the beam, clockwise positive like a load
    /// moment (a cantilever held at its left end: negative). Zero for a simple support.
    [[nodiscard]] Range3 supportMoment(std::size_t support, const std::vector<double>& factors) const;
    /// Block forms of moment, shear, web shear and deflection: least/most arrays of n, same numbers as the scalar ones.
    void momentBlock(const double* x, std::size_t n, const std::vector<double>& factors, double* least, double* most) const;
    void shearBlock(const double* x, std::size_t n, const std::vector<double>& factors, double* least, double* most) const;
    void webShearBlock(const double* x, std::size_t n, const std::vector<double>& factors, double* least, double* most) const;
    void deflectionBlock(const double* x, std::size_t n, const std::vector<double>& factors, double* least, double* most) const;

    /// Places strictly between `from` and `to`: between neighbouring ones of them and breaks(), least and most of the
    /// moment (of the shear) only rise or only fall. So their extremes need not be searched for. Both sides of jumps are
    /// among them.
    [[nodiscard]] std::vector<double> momentTurns(double from, double to, const std::vector<double>& factors) const;
    [[nodiscard]] std::vector<double> shearTurns(double from, double to, const std::vector<double>& factors) const;
    /// There are loads that may act on any choice of spans: least and most may differ.
    [[nodiscard]] bool hasChoices() const;

    /// Largest of |sum of forces| over the sum of |forces|, and of moments likewise, over all load cases.
    [[nodiscard]] double residual() const;
    /// Places where M, V or w has a kink or a jump: supports, load ends, point loads, stiffness kinks, ends. Ascending.
    [[nodiscard]] const std::vector<double>& breaks() const;
    [[nodiscard]] std::size_t supportCount() const;
    [[nodiscard]] double supportAt(std::size_t i) const;
    [[nodiscard]] bool hasDeflection() const;
    /// Stated accuracy of deflections and redundant forces, relative to the largest in their span: 1e-9 for
    /// constant stiffness, else the difference of the last two refinements where that is larger.
    [[nodiscard]] double accuracy() const;

private:
    explicit Solved(std::shared_ptr<const SolvedData> data);
    friend base::Result<Solved, Problem> solve(const Line& line);
    friend bool addSagTurns(std::span<const SagTerm> terms, double from, double to, std::vector<double>& out);

    std::shared_ptr<const SolvedData> m_data;
};

/// A deflection, times a number, of a sum of several: the least or the most of one beam.
struct SagTerm {
    const Solved* beam = nullptr;
    const std::vector<double>* factors = nullptr;
    bool least = false;
    double times = 1.0;
};

/// Adds places strictly between `from` and `to`: between neighbouring ones of them and the two ends, the sum only rises or only falls, as
/// exactly as the arithmetic goes. Between `from` and `to` lie no breaks() of any of the beams, but for such as are next to an end (1e-12
/// of the length). False, and nothing added: the stiffness varies along one of the beams, or is not known; then extremes must be searched for.
[[nodiscard]] bool addSagTurns(std::span<const SagTerm> terms, double from, double to, std::vector<double>& out);

/// Solves every action (and every span of an `eachSpan` action) once. Two simple supports or one fixed
/// support hold a line; with just these the forces need no stiffness, and without one deflections are NaN.
/// `line.ei`, `line.ga` and `line.relief` are called only in here, a bounded number of times.
[[nodiscard]] base::Result<Solved, Problem> solve(const Line& line);

} // namespace spanwright::beam
