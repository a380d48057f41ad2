// SPDX-License-Identifier: MIT
#pragma once

#include <initializer_list>
#include <memory>
#include <string>
#include <string_view>

#include "engine/syntax/document.h"
#include "engine/syntax/formula_reader.h"
#include "engine/syntax/lines.h"

namespace spanwright::syntax {

/// Reads one row of a sheet or a job, standing alone: nothing is known of its neighbours. Gives nothing
/// for rows that say nothing (blank, comment, lines of tables without a fault).
[[nodiscard]] std::shared_ptr<const RowParts> readRow(const Chunk& chunk, FileKind file);

/// The reader at work: a cursor over the row's tokens. One method a kind of row; each leaves what it read
/// in `parts` and complains about the first thing that is wrong.
class RowReader {
public:
    RowReader(const Chunk& chunk, FileKind file);
    [[nodiscard]] RowParts take();

private:
    // kinds (row_kinds_sheet.cpp, row_kinds_beam.cpp, row_kinds_sketch.cpp, row_kinds_job.cpp, row_kinds_trial.cpp)
    void dispatch();
    void unknown();
    void freeText();
    void part();
    void ask();
    void given();
    void derive();
    void choose();
    void each();
    void named();
    void define();
    void use();
    void table();
    void plot();
    void piece();
    void pieceClauses();
    void schedule();
    void nothingMore();
    void beam();
    void stiffness();
    void support();
    void load();
    void sketch();
    void mark();
    void member();
    void off();
    void instead();
    void with();
    void tick();
    void remark();
    void trial();
    void rate();
    void prices();
    void shopRow();

    // pieces of rows; each gives false after complaining
    [[nodiscard]] bool name(Spot& spot, std::string_view wanted);
    [[nodiscard]] bool symbol(std::string_view wanted, std::string_view behind, std::string_view mend);
    [[nodiscard]] bool word(std::string_view wanted, std::string_view mend);
    [[nodiscard]] bool unit(Spot& spot, std::optional<double>* step);
    [[nodiscard]] bool tag();
    [[nodiscard]] bool limits();
    [[nodiscard]] bool keysBehindBy();
    [[nodiscard]] bool markAndName();
    void condition();
    void leftOver();
    void points(std::size_t least, std::size_t most, std::size_t end, std::string_view form);
    [[nodiscard]] bool style(std::string_view word);

    // tokens
    [[nodiscard]] bool more() const { return m_at < m_tokens.size(); }
    [[nodiscard]] bool atWord(std::string_view w) const { return m_tokens.isWord(m_at, w); }
    [[nodiscard]] bool atSymbol(std::string_view s) const { return m_tokens.isSymbol(m_at, s); }
    /// A word that stands free, blanks on both sides: the `by` in `by a`, not in `tables/by-species.csv`.
    [[nodiscard]] std::size_t findFree(std::size_t from, std::initializer_list<std::string_view> words) const;
    [[nodiscard]] std::size_t find(std::initializer_list<std::string_view> stops) const { return m_formulas.find(m_at, m_tokens.size(), stops); }
    /// The formula in [m_at, end); the cursor goes to `end`.
    [[nodiscard]] Formula formula(std::size_t end);
    [[nodiscard]] Formula value(std::size_t end);
    /// The bytes of [begin, end) as written; the quotes of a lone text are taken off.
    [[nodiscard]] Spot raw(std::size_t begin, std::size_t end) const;
    [[nodiscard]] Spot textSpot(std::size_t begin, std::size_t end) const;
    void complain(diag::Code code, base::ByteSpan span, std::string message, std::string mend);
    /// Something is missing at the cursor: marks the token there, or the end of the last one.
    bool incomplete(std::string message, std::string mend);

    const Chunk& m_chunk;
    FileKind m_file;
    std::string m_masked; ///< the row with a part's title blanked out, so that a quote in it opens no text
    RowParts m_parts;
    TokenRow m_tokens;
    FormulaReader m_formulas;
    std::size_t m_at = 0;
};

} // namespace spanwright::syntax
