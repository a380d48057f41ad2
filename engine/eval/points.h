// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "engine/beam/even_lines.h"
#include "engine/eval/program.h"
#include "engine/eval/value.h"

namespace spanwright::eval {

/// Trial points of one block.
inline constexpr std::size_t kPoints = 256;

/// What one row comes to at each of up to kPoints trial points: structure of arrays.
struct PointRow {
    std::array<State, kPoints> states{};
    std::array<State, kPoints> causes{}; ///< where Blocked: how it stands with the row at the end of the chain
    bool allKnown = false;               ///< at every point
    bool counted = false;                ///< `cases` was said of some point
    std::size_t cases = 1;
    std::vector<double> numbers;       ///< [case*kPoints + point]; where not Known anything
    std::vector<double> right;         ///< Check: the right side, likewise
    std::vector<std::uint32_t> counts; ///< cases by point, where they are not `cases` at every one
    std::shared_ptr<const meaning::Table> table;
    std::vector<std::shared_ptr<const meaning::Table>> tables;     ///< by point, where they are not `table` at every one
    std::vector<std::shared_ptr<const beam::Solved>> solved;       ///< Beam: by point; else empty
    std::shared_ptr<beam::EvenLines> lines;                        ///< Beam: all points at once, instead of `solved`
    std::shared_ptr<const diag::Diagnostic> problem;               ///< of some point where it Failed, since the rows were set
    mutable std::vector<std::shared_ptr<const beam::Solved>> made; ///< of `lines`

    void setAll(State s, std::size_t points);
    /// Only these points (ascending), moved up.
    void keep(const std::vector<std::uint32_t>& points);
    [[nodiscard]] std::size_t casesAt(std::size_t point) const { return counts.empty() ? cases : counts[point]; }
    [[nodiscard]] const std::shared_ptr<const meaning::Table>& tableAt(std::size_t point) const { return tables.empty() ? table : tables[point]; }
    [[nodiscard]] bool hasBeams() const { return lines != nullptr || !solved.empty(); }
    /// Null: not solved there. Of `lines` it is made when it is first asked for.
    [[nodiscard]] const std::shared_ptr<const beam::Solved>& beamAt(std::size_t point) const;
    void setLines(std::shared_ptr<beam::EvenLines> all);
    void setBeam(std::size_t point, std::shared_ptr<const beam::Solved> beam);
    /// The same table at every point from here on, until setTable() says otherwise.
    void setTable(std::shared_ptr<const meaning::Table> t) {
        table = std::move(t);
        tables.clear();
    }
    void setTable(std::size_t point, std::shared_ptr<const meaning::Table> t) {
        if (tables.empty() && t == table) return;
        if (tables.empty() && !table) {
            table = std::move(t);
            return;
        }
        if (tables.empty()) tables.assign(kPoints, table);
        tables[point] = std::move(t);
    }
};

/// The rows of one member at many points at once, where some of its rows vary from point to point and the
/// others stand as they are. Rows that depend on numbers alone run in lanes, a point in each; what cannot
/// (beams that vary, changing cases, lanes that fail) is worked out point by point by the same Program
/// that works out the member itself. Either way each point comes out bit for bit as Program::evaluate gives it
/// with that point's values. One thread at a time.
class PointProgram {
public:
    /// `base` must outlive it and stay as it is.
    PointProgram(std::shared_ptr<const meaning::Sheet> sheet, const MemberValues& base);
    ~PointProgram();
    PointProgram(const PointProgram&) = delete;
    PointProgram& operator=(const PointProgram&) = delete;

    /// Says which rows vary; all others are read from the base. Forgets what was worked out.
    void setVarying(const std::vector<meaning::QuantityId>& rows);
    /// How many points the next calls are about, at most kPoints.
    void setPoints(std::size_t n);
    [[nodiscard]] std::size_t points() const;
    /// Goes on with these points only (ascending): what was worked out for them moves up.
    void keep(const std::vector<std::uint32_t>& points);

    /// A row that varies.
    [[nodiscard]] PointRow& row(meaning::QuantityId id);
    [[nodiscard]] const PointRow& row(meaning::QuantityId id) const;
    [[nodiscard]] bool varies(meaning::QuantityId id) const;

    /// Works out a row by its sheet; everything that it reads and that varies has been worked out before.
    void work(meaning::QuantityId id);
    /// `row(id)` holds what is stated at each point (states, numbers, table): does what Program::stated does with
    /// it: parts that do not apply, limits.
    void stated(meaning::QuantityId id);
    /// As work(), but always point by point: the tests' second way, and what work() falls back to.
    void workOneByOne(meaning::QuantityId id);

    /// Counts of formulas evaluated since construction.
    [[nodiscard]] Program::Counts counts() const;

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

/// A link between members over many points: `references[i]` is the i-th reference's row, or null with its fixed
/// value in `fixed[i]`. Gives states, causes and numbers of the row that is linked. A chosen row is handed over
/// as the text of its key.
class PointLink {
public:
    explicit PointLink(std::shared_ptr<const meaning::Link> link);
    ~PointLink();
    PointLink(const PointLink&) = delete;
    PointLink& operator=(const PointLink&) = delete;
    struct Reference {
        const PointRow* row = nullptr;
        const Value* fixed = nullptr;
        State fixedCause = State::Blocked; ///< where `fixed` is Blocked
    };
    void work(const std::vector<Reference>& references, std::size_t points, PointRow& out);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

} // namespace spanwright::eval
