// SPDX-License-Identifier: MIT
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

#include "engine/shop/shop_rows.h"
#include "engine/syntax/document.h"

namespace spanwright::shop {

/// Walks over the clauses of one workshop row. What is wrong is told at its place, once.
class ClauseReader {
public:
    ClauseReader(const syntax::Document& document, std::uint32_t row, std::vector<diag::Diagnostic>& out);

    [[nodiscard]] std::uint32_t row() const { return m_row; }
    /// On to the next clause; false behind the last.
    bool next();
    /// The clause's text, quotes taken off.
    [[nodiscard]] std::string text() const;
    /// True if the clause is that word alone.
    [[nodiscard]] bool is(std::string_view word) const;
    /// Takes the word that the clause begins with; what follows is then read. False if it begins otherwise; a word taken
    /// twice in one row is told and taken all the same.
    [[nodiscard]] bool take(std::string_view word);
    [[nodiscard]] bool looksLikeMoney() const;

    // each gives false after telling what is wrong
    [[nodiscard]] bool value(units::Written& into) const;
    [[nodiscard]] bool number(double& into, double least, double most, std::string_view wanted) const;
    [[nodiscard]] bool length(double& into, double least, double most) const;
    /// `A by B by C`
    [[nodiscard]] bool sizes(std::initializer_list<double*> into, double least, double most) const;
    /// `3.90 EUR/m [each] [+- 5 %] [on DATE] [until DATE]`
    [[nodiscard]] bool price(Price& into);
    /// A name alone; empty after telling.
    [[nodiscard]] std::string word() const;
    /// `on DATE`, `until DATE` standing alone; false if the clause is neither. A wrong date is told.
    bool dates(Price& into);

    void tell(diag::Code code, std::string message, std::string mend) const;
    void tell(diag::Code code, base::ByteSpan span, std::string message, std::string mend) const;
    void tellRow(diag::Code code, std::string message, std::string mend) const;
    void missing(const std::string& what) const;
    void unknown(const std::string& known) const;

private:
    [[nodiscard]] std::string_view rest() const;
    [[nodiscard]] base::ByteSpan restSpan() const;
    bool date(std::string_view text, std::string& into) const;

    const syntax::Document& m_document;
    std::uint32_t m_row;
    std::vector<diag::Diagnostic>& m_out;
    const std::vector<syntax::Clause>& m_clauses;
    std::size_t m_at = 0;
    std::size_t m_from = 0; ///< bytes of the clause that are taken
    std::vector<std::string> m_taken;
};

/// A price's text without dates: "3.90 EUR/m", "64 EUR each", "3.90 EUR/m +- 0.20 EUR/m", "64 EUR +- 5 %". Gives what is wrong, empty if nothing.
[[nodiscard]] std::string readPrice(std::string_view text, Price& into);

} // namespace spanwright::shop
