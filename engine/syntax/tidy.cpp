// SPDX-License-Identifier: MIT
// Columns of neighbouring rows. Only runs of blanks between the parts of a row are rewritten; what stands
// inside a formula, a text, a table or a row of several lines is left as it is.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/syntax/formula_reader.h"
#include "engine/syntax/kinds.h"
#include "engine/syntax/letters.h"
#include "engine/syntax/lines.h"

namespace spanwright::syntax {

namespace {

constexpr std::size_t kKeyword = 8;     ///< column of what stands behind a row's kind
constexpr std::size_t kIndent = 8;      ///< rows in a beam, in a sketch or under a member
constexpr std::size_t kBlockWord = 10;  ///< behind stiffness, support, load, dimension
constexpr std::size_t kMemberWord = 6;  ///< behind off, with, list, note
constexpr std::size_t kWidestName = 16; ///< longer ones stand out of line rather than move their neighbours
constexpr std::size_t kWidestBody = 72;

/// A row taken apart; putting the pieces together with single blanks gives the row but for its blanks.
struct Pieces {
    bool aligned = false; ///< false: the row stays as it is
    std::size_t indent = 0;
    std::size_t wordWidth = 0;
    std::string_view keyword, name, unit, what, source, lineEnd;
    std::string body;
    bool hasCut = false, hasSource = false;
    bool columns = false; ///< name, unit and body stand in columns of their own
};

[[nodiscard]] std::size_t width(std::string_view text) { return base::utf8Count(text); }

[[nodiscard]] std::string_view slice(std::string_view text, std::size_t begin, std::size_t end) {
    end = std::min(end, text.size());
    begin = std::min(begin, end);
    while (begin < end && isBlank(text[begin])) ++begin;
    while (end > begin && isBlank(text[end - 1])) --end;
    return text.substr(begin, end - begin);
}

[[nodiscard]] Pieces takeApart(const std::vector<Row>& rows, std::size_t i) {
    const Row& row = rows[i];
    Pieces p;
    const bool inBlock = row.owner != Row::kNoOwner && (opens(rows[row.owner]) == Block::Beam || opens(rows[row.owner]) == Block::Sketch);
    const bool left = row.kind == RowKind::Blank || row.kind == RowKind::Comment || row.kind == RowKind::Unknown || row.kind == RowKind::TableLine ||
                      isShopRow(row.kind) || row.lines != 1 || row.open || !row->keyword.present() || !row->complaints.empty();
    if (left) return p;
    p.aligned = true;
    const std::string_view text = row.text;
    std::size_t end = text.size();
    if (end > 0 && text[end - 1] == '\n') --end;
    if (end > 0 && text[end - 1] == '\r') --end;
    p.lineEnd = text.substr(end);
    p.keyword = row->keyword.text;
    p.wordWidth = kKeyword;

    const bool underMember = row.owner != Row::kNoOwner && rows[row.owner].kind == RowKind::Member;
    const bool listEnd =
        row.kind == RowKind::End && row.owner != Row::kNoOwner && rows[row.owner].owner != Row::kNoOwner && rows[rows[row.owner].owner].kind == RowKind::Member;
    if (inBlock && row.kind != RowKind::End) {
        p.indent = kIndent;
        p.wordWidth = kBlockWord;
    } else if (underMember) {
        p.indent = kIndent;
        p.wordWidth = kMemberWord;
    } else if (listEnd) {
        p.indent = kIndent;
    }

    // The cuts.
    std::size_t cut = end;
    std::size_t source = end;
    const bool whole = row.kind == RowKind::Note || row.kind == RowKind::Remark;
    const bool words = !whole && row.kind != RowKind::Mark && kindOf(p.keyword)->freeText && !row->name.present();
    if (words || row.kind == RowKind::Part || row.kind == RowKind::Sheet) {
        cut = std::min(findCut(text, row->keyword.span.end), end);
        source = cut < end ? std::min(findCut(text, cut + 2), end) : end;
    } else if (!whole) {
        const TokenRow tokens(text);
        cut = std::min<std::size_t>(tokens.cut, end);
        source = std::min<std::size_t>(tokens.source, end);
    }
    p.hasCut = cut < end;
    p.hasSource = source < end;
    if (p.hasCut) p.what = slice(text, cut + 2, source);
    if (p.hasSource) p.source = slice(text, source + 2, end);

    std::size_t from = row->keyword.span.end;
    const bool named = row.kind == RowKind::Ask || row.kind == RowKind::Given || row.kind == RowKind::Derive || row.kind == RowKind::Choose ||
                       row.kind == RowKind::Each || row.kind == RowKind::With;
    if (named && row->name.present()) {
        p.columns = true;
        p.name = row->name.span.of(text);
        from = row->name.span.end;
        const std::string_view rest = slice(text, from, cut);
        if (!rest.empty() && rest.front() == '[') {
            const std::size_t close = text.find(']', from);
            p.unit = slice(text, from, close + 1);
            from = close + 1;
        }
    }
    const std::string_view body = slice(text, from, cut);
    const bool equals = p.columns && !body.empty() && body.front() == '=';
    p.body = equals ? "= " + std::string(slice(body, 1, body.size())) : std::string(body);
    return p;
}

class Writer {
public:
    void pad(std::size_t column) {
        // At least one blank between two pieces, none before the first.
        const std::size_t now = width(m_line);
        const std::size_t gap = now < column ? column - now : (m_line.empty() ? 0 : 1);
        m_line.append(gap, ' ');
    }
    void put(std::string_view text) { m_line += text; }
    [[nodiscard]] std::string take() { return std::move(m_line); }
    [[nodiscard]] std::size_t column() const { return width(m_line); }

private:
    std::string m_line;
};

/// A run of neighbouring rows that share columns.
class Group {
public:
    explicit Group(const std::vector<Pieces>& rows) : m_rows(rows) {
        for (const Pieces& p : rows) {
            if (!p.columns) continue;
            if (width(p.name) <= kWidestName) m_name = std::max(m_name, width(p.name));
            if (width(p.unit) <= kWidestName) m_unit = std::max(m_unit, width(p.unit));
        }
        for (const Pieces& p : rows) {
            const std::size_t reach = width(head(p));
            if (p.hasCut && reach <= kWidestBody) m_cut = std::max(m_cut, reach);
        }
        for (const Pieces& p : rows) {
            if (p.hasSource && width(p.what) <= kWidestBody) m_what = std::max(m_what, width(p.what));
        }
    }

    void write(std::string& out) const {
        for (const Pieces& p : m_rows) {
            Writer w;
            w.put(head(p));
            if (p.hasCut) {
                w.pad(std::max(m_cut, w.column()) + 2);
                w.put("--");
                const std::size_t what = w.column() + 1;
                if (!p.what.empty()) {
                    w.pad(what);
                    w.put(p.what);
                }
                if (p.hasSource) {
                    w.pad(std::max(what + m_what, w.column()) + 2);
                    w.put("--");
                    if (!p.source.empty()) {
                        w.pad(w.column() + 1);
                        w.put(p.source);
                    }
                }
            }
            w.put(p.lineEnd);
            out += w.take();
        }
    }

private:
    /// The row up to its first cut.
    [[nodiscard]] std::string head(const Pieces& p) const {
        Writer w;
        w.put(std::string(p.indent, ' '));
        w.put(p.keyword);
        std::size_t column = p.indent + p.wordWidth;
        if (p.columns) {
            w.pad(std::max(column, w.column() + 1));
            column = w.column();
            w.put(p.name);
            column += m_name + 1;
            if (!p.unit.empty()) {
                w.pad(std::max(column, w.column() + 1));
                w.put(p.unit);
            }
            if (m_unit > 0) column += m_unit + 1;
        }
        if (!p.body.empty()) {
            w.pad(std::max(column, w.column() + 1));
            w.put(p.body);
        }
        return w.take();
    }

    const std::vector<Pieces>& m_rows;
    std::size_t m_name = 0, m_unit = 0, m_cut = 0, m_what = 0;
};

} // namespace

std::string tidy(const Document& d) {
    const auto& rows = d.rows();
    std::string out = d.text().substr(0, d.offsetOf(0));
    std::vector<Pieces> group;
    const auto flush = [&] {
        Group(group).write(out);
        group.clear();
    };
    for (std::size_t i = 0; i < rows.size(); ++i) {
        Pieces p = takeApart(rows, i);
        if (!p.aligned) {
            flush();
            out += rows[i].text;
            continue;
        }
        if (!group.empty() && group.back().indent != p.indent) flush();
        group.push_back(p);
    }
    flush();
    return out;
}

} // namespace spanwright::syntax
