// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "engine/beam/beam.h"

namespace spanwright::beam {

/// What is asked for along a line.
enum class Curve : std::uint8_t { Moment, Shear, WebShear, Sag };

/// Many lines of the commonest kind, all under the same loads of different sizes: those of the points of a trial. One span, hinged at both its ends, of
/// a constant stiffness, under even loads from end to end. Everything comes out bit for bit as of each line by itself, line(i).
/// Each turns in its middle and nowhere else: moments and deflections there, shears where they change their sign.
class EvenLines {
public:
    struct Loads {
        std::uint32_t action = 0;
        bool eachSpan = false;
        std::vector<double> size; ///< N/m, by line
    };
    struct Input {
        std::size_t count = 0;
        std::vector<double> from, to; ///< m, by line; the supports stand there
        std::vector<double> ei, ga;   ///< N*m^2 and N, by line; `ga` empty: no shear flexibility
        std::vector<Loads> loads;
        std::uint32_t actionCount = 0;
    };
    /// Null: anything is amiss with one of them; solve() says what.
    [[nodiscard]] static std::shared_ptr<EvenLines> of(Input input);

    [[nodiscard]] std::size_t size() const { return m_input.count; }
    [[nodiscard]] double from(std::size_t line) const { return m_input.from[line]; }
    [[nodiscard]] double to(std::size_t line) const { return m_input.to[line]; }
    [[nodiscard]] bool hasChoices() const;
    [[nodiscard]] Solved line(std::size_t i) const;
    /// Only these lines (ascending), moved up.
    void keep(const std::vector<std::uint32_t>& lines);

    /// As Solved::momentBlock() and its like: least and most at n places, place i on line owner[i]; no owner: on line i.
    void values(Curve curve, const std::uint32_t* owner, const double* x, std::size_t n, const std::vector<double>& factors, double* least, double* most) const;
    /// Of the first n lines; `support` 0 or 1.
    void reactions(std::size_t support, std::size_t n, const std::vector<double>& factors, double* least, double* most) const;

private:
    static constexpr std::size_t kPowers = 4;
    struct Part {
        std::uint32_t action = 0;
        bool eachSpan = false;
        std::vector<double> load, left, right; ///< by line: the load, the reactions
        std::vector<double> bow[kPowers];      ///< by line: the deflection is t*(1 - t) times powers of t
    };
    struct Strip;
    template <bool each> void begin(Strip& s, const double* x) const;
    template <bool each> void momentsOf(Strip& s, const std::vector<double>& factors) const;
    template <bool each> void shearsOf(Strip& s, const std::vector<double>& factors) const;
    template <bool each> void deflectionsOf(Strip& s, const std::vector<double>& factors) const;
    template <bool each> void strip(Curve curve, Strip& s, const double* x, const std::vector<double>& factors, double* least, double* most) const;
    void stripOfEach(Curve curve, Strip& s, const double* x, const std::vector<double>& factors, double* least, double* most) const;
    void stripOfOwners(Curve curve, Strip& s, const double* x, const std::vector<double>& factors, double* least, double* most) const;
    bool work();

    Input m_input;
    std::vector<Part> m_parts;
    std::vector<double> m_width, m_perLength;
};

} // namespace spanwright::beam
