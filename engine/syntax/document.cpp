// SPDX-License-Identifier: MIT
#include "engine/syntax/document.h"

#include <algorithm>

#include "engine/syntax/lines.h"
#include "engine/syntax/places.h"
#include "engine/syntax/row_reader.h"
#include "engine/syntax/structure.h"

namespace spanwright::syntax {

using diag::Code;

namespace {

constexpr std::string_view kBom = "\xEF\xBB\xBF";
/// Past so many edits that change the number of rows, one fresh reading costs less than moving rows about.
constexpr int kMaxMoves = 32;

[[nodiscard]] Row makeRow(const Chunk& chunk, FileKind kind) {
    Row row;
    row.text = std::string(chunk.text);
    row.lines = chunk.lines;
    row.kind = chunk.kind;
    row.open = chunk.unclosed;
    row.parts = readRow(chunk, kind);
    return row;
}

[[nodiscard]] bool isStatement(RowKind kind) { return kind != RowKind::Blank && kind != RowKind::Comment && kind != RowKind::TableLine; }

[[nodiscard]] bool saysNothing(const Row& row) { return row.kind == RowKind::Blank || row.kind == RowKind::Comment; }

/// True if the limits on rows are near enough for a fresh reading to have the say.
[[nodiscard]] bool nearLimits(const std::vector<Row>& rows, std::size_t more) {
    const std::size_t size = rows.size() + more;
    if (size <= kMaxStatements) return false;
    if (size > kMaxRows) return true;
    return static_cast<std::size_t>(std::count_if(rows.begin(), rows.end(), [](const Row& r) { return isStatement(r.kind); })) + more > kMaxStatements;
}

/// The block that is open before row `at`.
[[nodiscard]] Block blockAt(const std::vector<Row>& rows, std::size_t at) {
    if (at == 0) return Block::None;
    const Row& before = rows[at - 1];
    if (const Block opened = opens(before); opened != Block::None) return opened;
    if (before.owner == Row::kNoOwner || before.kind == RowKind::End) return Block::None;
    return opens(rows[before.owner]);
}

/// True if putting `fresh` where `old` was can change neither owners nor misfits.
[[nodiscard]] bool alikeInPlace(const Row& old, const Row& fresh) {
    if (old.kind != fresh.kind || old->keyword != fresh->keyword || old.lines != fresh.lines) return false;
    if (definesUnit(old) != definesUnit(fresh)) return false;
    if (old.kind == RowKind::Part || old.kind == RowKind::Unknown) return false;
    return opens(old) == Block::None;
}

[[nodiscard]] std::uint32_t countLines(std::string_view text) {
    const auto ends = static_cast<std::uint32_t>(std::count(text.begin(), text.end(), '\n'));
    return std::max<std::uint32_t>(1, ends + (!text.empty() && text.back() != '\n' ? 1 : 0));
}

} // namespace

const RowParts& Row::noParts() {
    static const RowParts none;
    return none;
}

Document Document::read(std::string file, FileKind kind, std::string bytes) {
    Document d;
    d.m_file = std::move(file);
    d.m_kind = kind;
    if (bytes.compare(0, kBom.size(), kBom) == 0) {
        d.m_bom = std::string(kBom);
        bytes.erase(0, kBom.size());
    }
    d.readAll(std::move(bytes));
    return d;
}

void Document::readAll(std::string body) {
    m_rows.clear();
    m_truncated = false;
    m_rows.reserve(std::min<std::size_t>(kMaxRows + 1, static_cast<std::size_t>(std::count(body.begin(), body.end(), '\n')) + 1));
    LineGrouper lines(body, m_kind, Block::None);
    Chunk chunk;
    std::size_t statements = 0;
    while (lines.next(chunk)) {
        if (isStatement(chunk.kind)) ++statements;
        if (m_rows.size() >= kMaxRows || statements > kMaxStatements) {
            const auto at = static_cast<std::size_t>(chunk.text.data() - body.data());
            Row rest;
            rest.text = body.substr(at);
            rest.lines = countLines(rest.text);
            rest.kind = RowKind::Unknown;
            RowParts parts;
            parts.complaints.push_back({Code::TooManyRows,
                                        {0, 1},
                                        "from here on nothing is read: more than " + std::to_string(kMaxRows) + " rows, or " + std::to_string(kMaxStatements) +
                                            " that are no lines of tables",
                                        "split the file"});
            rest.parts = std::make_shared<const RowParts>(std::move(parts));
            m_rows.push_back(std::move(rest));
            m_truncated = true;
            break;
        }
        m_rows.push_back(makeRow(chunk, m_kind));
    }
    m_rowsRead += m_rows.size();
    settle(true);
}

std::string Document::text() const {
    std::size_t size = m_bom.size();
    for (const Row& r : m_rows) size += r.text.size();
    std::string out;
    out.reserve(size);
    out += m_bom;
    for (const Row& r : m_rows) out += r.text;
    return out;
}

std::size_t Document::offsetOf(std::uint32_t row) const {
    std::size_t offset = m_bom.size();
    for (std::uint32_t i = 0; i < row && i < m_rows.size(); ++i) offset += m_rows[i].text.size();
    return offset;
}

diag::Place Document::place(std::uint32_t row, base::ByteSpan span) const { return {m_file, row, span}; }

std::optional<diag::Resolved> Document::resolve(const diag::Place& p) const {
    if (p.file != m_file || p.row >= m_rows.size()) return std::nullopt;
    std::uint32_t line = 1;
    for (std::uint32_t i = 0; i < p.row; ++i) line += m_rows[i].lines;
    return resolveIn(m_rows[p.row].text, p.span, line);
}

std::vector<diag::Diagnostic> Document::diagnostics() const {
    std::vector<diag::Diagnostic> out;
    auto misfit = m_misfits.begin();
    const auto add = [&](std::uint32_t row, const Complaint& c) {
        diag::Diagnostic d;
        // A mark that cannot be read is left out of its drawing; nothing is proven by a drawing.
        if (m_rows[row].kind == RowKind::Mark) d.severity = diag::Severity::Warning;
        d.code = c.code;
        d.place = place(row, c.span);
        d.message = c.message;
        d.mend = c.mend;
        out.push_back(std::move(d));
    };
    for (std::uint32_t i = 0; i < m_rows.size(); ++i) {
        for (const Complaint& c : m_rows[i]->complaints) add(i, c);
        for (; misfit != m_misfits.end() && misfit->row == i; ++misfit) add(i, misfit->complaint);
    }
    return out;
}

// ---- edits

/// Puts rows read from `text` in the place of `count` rows from `first` on. False if that may concern
/// other rows as well: then only the bytes are in place and everything is to be read anew.
bool Document::splice(std::uint32_t first, std::uint32_t count, const std::string& text) {
    const bool atEnd = first + count >= m_rows.size();
    const auto keepBytes = [&] {
        m_rows.erase(m_rows.begin() + first, m_rows.begin() + first + count);
        Row bytes;
        bytes.text = text;
        m_rows.insert(m_rows.begin() + first, std::move(bytes));
        return false;
    };
    if (m_truncated || (!atEnd && !text.empty() && text.back() != '\n')) return keepBytes();
    std::size_t before = first;
    while (before > 0 && saysNothing(m_rows[before - 1])) --before;
    if (before > 0 && m_rows[before - 1].open) return keepBytes();

    LineGrouper lines(text, m_kind, blockAt(m_rows, first));
    const Block after = blockAt(m_rows, first + count);
    Chunk chunk;
    std::vector<Row> fresh;
    bool open = false;
    while (lines.next(chunk)) {
        fresh.push_back(makeRow(chunk, m_kind));
        if (!saysNothing(fresh.back())) open = fresh.back().open;
        weighDoubts(fresh.back(), m_ownUnits);
    }
    if (lines.block() != after || (open && !atEnd) || nearLimits(m_rows, fresh.size())) return keepBytes();

    m_rowsRead += fresh.size();
    if (fresh.size() == count) {
        for (std::uint32_t i = 0; i < count; ++i) {
            Row& old = m_rows[first + i];
            m_unsettled = m_unsettled || !alikeInPlace(old, fresh[i]);
            fresh[i].owner = old.owner;
            old = std::move(fresh[i]);
        }
    } else {
        const std::uint32_t owner = first < m_rows.size() ? m_rows[first].owner : Row::kNoOwner;
        for (Row& row : fresh) row.owner = owner;
        m_rows.erase(m_rows.begin() + first, m_rows.begin() + first + count);
        m_rows.insert(m_rows.begin() + first, std::make_move_iterator(fresh.begin()), std::make_move_iterator(fresh.end()));
        m_unsettled = true;
    }
    return true;
}

void Document::finish(bool local) {
    if (!local) {
        std::string body = text();
        body.erase(0, m_bom.size());
        readAll(std::move(body));
    } else if (m_unsettled) {
        settle(false);
    }
}

void Document::apply(const std::vector<RowEdit>& edits) {
    bool local = true;
    int moves = 0;
    // From the last row to the first, so that row numbers stay good.
    for (std::size_t last = edits.size(); last > 0;) {
        const std::uint32_t row = edits[last - 1].row;
        std::size_t begin = last;
        while (begin > 0 && edits[begin - 1].row == row) --begin;
        if (row < m_rows.size()) {
            std::string text = m_rows[row].text;
            for (std::size_t i = last; i > begin; --i) {
                const RowEdit& e = edits[i - 1];
                const std::size_t from = std::min<std::size_t>(e.span.begin, text.size());
                const std::size_t to = std::clamp<std::size_t>(e.span.end, from, text.size());
                text.replace(from, to - from, e.text);
            }
            const std::size_t rows = m_rows.size();
            if (!local || moves > kMaxMoves) {
                m_rows[row].text = std::move(text);
                local = false;
            } else {
                local = splice(row, 1, text);
            }
            if (m_rows.size() != rows) ++moves;
        }
        last = begin;
    }
    finish(local);
}

void Document::insert(std::uint32_t before, std::string text) {
    const auto size = static_cast<std::uint32_t>(m_rows.size());
    before = std::min(before, size);
    if (before == size && size > 0 && !m_rows.back().text.empty() && m_rows.back().text.back() != '\n') {
        // The last line has no line end yet: it gets one of the file's own sort.
        const bool crlf = m_rows.front().text.size() > 1 && m_rows.front().text.substr(m_rows.front().text.size() - 2) == "\r\n";
        finish(splice(size - 1, 1, m_rows.back().text + (crlf ? "\r\n" : "\n") + text));
        return;
    }
    finish(splice(before, 0, text));
}

void Document::erase(std::uint32_t first, std::uint32_t count) {
    const auto size = static_cast<std::uint32_t>(m_rows.size());
    first = std::min(first, size);
    finish(splice(first, std::min(count, size - first), {}));
}

} // namespace spanwright::syntax
