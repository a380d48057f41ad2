// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <memory>
#include <vector>

#include "engine/eval/engine.h"
#include "engine/eval/points.h"

namespace spanwright::eval {

/// Rows of a member that are each one search along the same range: a sheet looks for its worst sections with a row for each
/// stress, and all of them, in all their cases, ask the same stiffnesses, moments and shears at the same places. When the first
/// is wanted, those of the others that can be worked out by then are searched together with it.
///
/// What was found for a row is given out only while everything that the row reads is, bit for bit, what it was then.
class SearchGroups {
public:
    struct Row {
        meaning::QuantityId id;
        std::vector<meaning::QuantityId> needs; ///< rows that it reads and that vary
    };
    SearchGroups(Engine& engine, const meaning::Sheet& sheet, const MemberValues& base, const std::vector<std::unique_ptr<PointRow>>& rows);

    /// Whether a row that goes in lanes is one such search.
    [[nodiscard]] bool takes(const meaning::Quantity& q, PointScope& scope) const;
    /// The rows that may be searched together; forgets all others, and all that was found.
    void setRows(std::vector<Row> rows);
    [[nodiscard]] bool known() const { return m_known; }
    void forgetRows() { m_known = false; }
    /// Other points from here on.
    void beginPoints();
    /// A row has been worked out, or stated, at these points.
    void done(meaning::QuantityId id);

    /// The numbers of a row at the first n points, [case*kPoints + point]. False: it is to be worked out by itself.
    [[nodiscard]] bool work(meaning::QuantityId id, PointScope& scope, std::size_t n, std::vector<double>& numbers);

private:
    struct Copy {
        meaning::QuantityId id;
        std::size_t cases = 1;
        std::vector<double> numbers;
        std::shared_ptr<const meaning::Table> table;
        std::vector<std::shared_ptr<const meaning::Table>> tables;
        std::vector<std::shared_ptr<const beam::Solved>> solved;
    };
    struct Found {
        std::vector<double> numbers; ///< [case*n + point]
        std::vector<std::size_t> inputs;
    };
    struct Group {
        FlatGroup flat;
        std::vector<meaning::ExprId> spans;
        std::vector<meaning::QuantityId> axes;  ///< as the row has them
        std::vector<meaning::QuantityId> order; ///< as they are gone through
        bool usable = false;
    };
    void forget();
    [[nodiscard]] const Row* rowOf(meaning::QuantityId id) const;
    [[nodiscard]] bool ready(const Row& row) const;
    [[nodiscard]] bool sameRange(meaning::ExprId a, meaning::ExprId b);
    [[nodiscard]] bool copy(meaning::QuantityId id, std::size_t n, Copy& out) const;
    [[nodiscard]] bool unchanged(const Copy& copy, std::size_t n) const;
    [[nodiscard]] bool find(const Row& leader, PointScope& scope, std::size_t n);
    Group& groupOf(const std::vector<const Row*>& members);

    Engine& m_engine;
    const meaning::Sheet& m_sheet;
    const MemberValues& m_base;
    const std::vector<std::unique_ptr<PointRow>>& m_rows;
    std::vector<Row> m_members;
    bool m_known = false;
    std::vector<std::uint64_t> m_done; ///< by row: the block of points for which it was done last
    std::uint64_t m_block = 1;
    std::map<std::vector<std::uint32_t>, std::unique_ptr<Group>> m_groups;
    std::vector<Copy> m_inputs;
    std::map<std::uint32_t, Found> m_found;
    std::size_t m_points = 0; ///< of what was found
    bool m_amiss = false;     ///< a search of these points went wrong: no more of them
};

} // namespace spanwright::eval
