// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/eval/program.h"
#include "engine/trial/range.h"

namespace spanwright::trial {

/// A formula over the rows of a job that is not part of it: by what options are put in order (`b*h*price`).
/// A bare name is a row of the member of `over`, or, if it has none of that name, a column of the table that `over` is chosen from; `section.price`
/// is a field of a choice of that member.
class FreeFormula {
public:
    /// `over`: what is put in order.
    [[nodiscard]] static base::Result<FreeFormula, diag::Diagnostic> read(const job::Job& job, const ValueName& over, const std::string& text);
    /// Rows that it reads; fields of choices are not among them.
    [[nodiscard]] const std::vector<ValueName>& reads() const { return m_reads; }
    /// From the values of the rows that it reads, in order, and the row of the table that is chosen; nothing if one of them or the result is none.
    [[nodiscard]] std::optional<double> value(const std::vector<double>& values, double option);
    [[nodiscard]] const units::Unit& unit() const { return m_unit; }

private:
    /// Where a value comes from, in the order of the link's references: a row, a field of the row chosen, or a field of another choice.
    struct Source {
        enum class Sort : std::uint8_t { Row, Field, Fixed } sort = Sort::Row;
        std::size_t index = 0; ///< Row: in m_reads; Field: column of m_table
        double fixed = 0.0;
    };
    std::vector<ValueName> m_reads;
    std::vector<Source> m_sources;
    std::shared_ptr<const meaning::Table> m_table;
    std::shared_ptr<const meaning::Link> m_link;
    std::shared_ptr<eval::LinkProgram> m_program;
    units::Unit m_unit;
};

} // namespace spanwright::trial
