// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "engine/eval/program.h"
#include "engine/meaning/sheet.h"

namespace spanwright::eval::test {

/// A sheet given as text with all its rows worked out in dependency order, as the job layer would.
class WorkedSheet {
public:
    /// `stated`: values by name, in SI, for asks and givens; `files`: CSV files by path.
    explicit WorkedSheet(const std::string& rows, const std::map<std::string, double>& stated = {}, const std::map<std::string, std::string>& files = {},
                         bool blocks = true);

    [[nodiscard]] const meaning::Sheet& sheet() const { return *m_sheet; }
    [[nodiscard]] Program& program() { return *m_program; }
    [[nodiscard]] MemberValues& values() { return m_values; }
    [[nodiscard]] meaning::TextPool& texts() { return m_texts; }
    [[nodiscard]] meaning::QuantityId id(std::string_view name) const;
    [[nodiscard]] const Value& at(std::string_view name) const { return m_values.at(id(name)); }
    /// The number of a row without axes that must be known; NaN otherwise.
    [[nodiscard]] double number(std::string_view name) const;
    /// "E402 message | mend" of a failed row with notes in between; its state in words otherwise.
    [[nodiscard]] std::string said(std::string_view name) const;
    /// What the place of a failed row's diagnostic covers, as written.
    [[nodiscard]] std::string marked(std::string_view name) const;
    /// States another value and works everything out again.
    void state(std::string_view name, double si);
    void work();
    /// Errors of the sheet itself, one a line; empty when it is sound.
    [[nodiscard]] std::string complaints() const;

private:
    std::map<std::string, double> m_stated;
    meaning::TextPool m_texts;
    std::shared_ptr<const meaning::Sheet> m_sheet;
    std::unique_ptr<Program> m_program;
    MemberValues m_values;
};

} // namespace spanwright::eval::test
