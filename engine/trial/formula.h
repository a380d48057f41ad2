// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/eval/program.h"
#include "engine/trial/range.h"

namespace spanwright::trial {

/// A formula over the rows of a job that is not part of it: by what options are put in order (`b*h*price`).
/// A bare name is a row of `mark`.
class FreeFormula {
public:
    [[nodiscard]] static base::Result<FreeFormula, diag::Diagnostic> read(const job::Job& job, const std::string& mark, const std::string& text);
    [[nodiscard]] const std::vector<ValueName>& reads() const { return m_reads; }
    /// From the values of what it reads, in order; nothing if one of them or the result is none.
    [[nodiscard]] std::optional<double> value(const std::vector<double>& values);
    [[nodiscard]] const units::Unit& unit() const { return m_unit; }

private:
    std::vector<ValueName> m_reads;
    std::shared_ptr<const meaning::Link> m_link;
    std::shared_ptr<eval::LinkProgram> m_program;
    units::Unit m_unit;
};

} // namespace spanwright::trial
