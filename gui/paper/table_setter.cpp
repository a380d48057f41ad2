// SPDX-License-Identifier: MIT
#include <algorithm>
#include <numeric>
#include <optional>

#include "gui/paper/block_setter.h"

namespace spanwright::paper {

namespace {

using report::Inlines;
using report::Table;

/// Between columns, half on each side.
qreal padOf(const LineStyle& cell) { return points(std::max<qreal>(5, cell.size * 0.65)); }
constexpr qreal kRowGap = points(1.6);
constexpr qreal kNarrowest = 0.7; ///< how much smaller letters of a wide table in large print may become
constexpr qreal kSmallest = 0.8;  ///< the same in the usual print
/// A column of words beside many others stands below them where it is narrower than so many letters are high, and would need so many lines.
constexpr qreal kNarrowWords = 9, kWordsBroken = 2.2;
constexpr std::size_t kWhole = 7; ///< a table of no more rows is not broken over pages

/// The least width at which no column is narrower than it wants to be; columns that wrap want room for their longest word.
/// `wordsOnly`: all columns may wrap.
qreal leastWidth(Types& types, const Table& t, const LineStyle& head, const LineStyle& cell, bool wordsOnly) {
    qreal sum = 0;
    for (std::size_t c = 0; c < t.columns.size(); ++c) {
        qreal column = t.ruled ? widthsOf(types, report::headOf(t.columns[c]), head).least : 0;
        for (const auto& row : t.rows) {
            if (c >= row.size()) continue;
            const Widths w = widthsOf(types, row[c], cell);
            column = std::max(column, wordsOnly || t.columns[c].wraps ? w.least : w.whole);
        }
        sum += column + padOf(cell);
    }
    return sum;
}

/// Widths of the columns: as wide as they like if there is room; else columns that may wrap give way, then all do.
std::vector<qreal> columnWidths(Types& types, const Table& t, qreal width, const LineStyle& head, const LineStyle& cell) {
    const std::size_t n = t.columns.size();
    const qreal pad = padOf(cell);
    std::vector<qreal> whole(n, 0), least(n, 0), firm(n, 0);
    for (std::size_t c = 0; c < n; ++c) {
        const auto note = [&](const Widths& w, bool breaks) {
            whole[c] = std::max(whole[c], w.whole + pad);
            least[c] = std::max(least[c], w.least + pad);
            firm[c] = std::max(firm[c], (breaks ? w.least : w.whole) + pad);
        };
        // A column that may not wrap keeps its width, but a head of several words may always be broken.
        if (t.ruled) note(widthsOf(types, report::headOf(t.columns[c]), head), true);
        for (const auto& row : t.rows)
            if (c < row.size()) note(widthsOf(types, row[c], cell), t.columns[c].wraps);
    }
    const auto sum = [](const std::vector<qreal>& v) { return std::accumulate(v.begin(), v.end(), qreal(0)); };
    if (sum(whole) <= width) return whole;
    std::vector<qreal> floor = firm;
    if (sum(floor) > width) floor = least;
    std::vector<qreal> out(n);
    if (sum(floor) <= width) {
        // What is left over goes to those that want more, as much as they want it.
        const qreal left = width - sum(floor), wanted = sum(whole) - sum(floor);
        for (std::size_t c = 0; c < n; ++c) out[c] = floor[c] + (wanted > 0 ? left * (whole[c] - floor[c]) / wanted : 0);
        return out;
    }
    // Not even single words fit: narrow columns keep what they need, the others share the rest, and words are broken.
    std::vector<bool> done(n, false);
    qreal left = width;
    for (std::size_t open = n; open > 0;) {
        const qreal share = left / static_cast<qreal>(open);
        bool any = false;
        for (std::size_t c = 0; c < n; ++c) {
            if (done[c] || floor[c] > share) continue;
            out[c] = floor[c];
            left -= out[c];
            done[c] = any = true;
            --open;
        }
        if (any) continue;
        for (std::size_t c = 0; c < n; ++c)
            if (!done[c]) out[c] = share;
        break;
    }
    return out;
}

/// A column of words that has no room beside many others: what it says then stands below each row. Words broken one by one are not read.
std::optional<std::size_t> wordsBelow(Types& types, const Table& t, const std::vector<qreal>& widths, const LineStyle& cell) {
    if (!t.ruled || t.columns.size() < 4) return {};
    std::optional<std::size_t> most;
    qreal lines = kWordsBroken;
    for (std::size_t c = 1; c < t.columns.size(); ++c) {
        // Numbers are compared down their column: they stay in it.
        if (!t.columns[c].wraps || t.columns[c].align == Table::Align::Right || widths[c] >= points(cell.size * kNarrowWords)) continue;
        qreal longest = 0;
        for (const auto& row : t.rows)
            if (c < row.size()) longest = std::max(longest, widthsOf(types, row[c], cell).whole);
        if (longest <= lines * widths[c]) continue;
        lines = longest / widths[c];
        most = c;
    }
    return most;
}

Strip rowStrip(Types& types, const Table& t, const std::vector<qreal>& widths, const std::vector<Inlines>& cells, const LineStyle& style) {
    Strip out;
    const qreal pad = padOf(style);
    qreal x = 0;
    struct Cell {
        std::vector<SetLine> lines;
        qreal left = 0, room = 0;
        bool right = false;
    };
    std::vector<Cell> laid;
    qreal base = 0;
    for (std::size_t c = 0; c < t.columns.size(); ++c) {
        Cell cell;
        cell.left = x + (c == 0 ? 0 : pad / 2);
        cell.room = widths[c] - (c == 0 ? pad / 2 : pad);
        cell.right = t.columns[c].align == Table::Align::Right;
        if (c < cells.size()) cell.lines = setLines(types, cells[c], cell.room, style);
        if (!cell.lines.empty()) base = std::max(base, cell.lines.front().base);
        x += widths[c];
        laid.push_back(std::move(cell));
    }
    for (Cell& cell : laid) {
        qreal y = cell.lines.empty() ? 0 : base - cell.lines.front().base;
        for (SetLine& line : cell.lines) {
            for (Mark& m : line.marks) {
                m.shift(cell.left + (cell.right ? cell.room - line.width : 0), y);
                out.marks.push_back(std::move(m));
            }
            y += line.height;
        }
        out.height = std::max(out.height, y);
    }
    out.height += 2 * kRowGap;
    for (Mark& m : out.marks) m.shift(0, kRowGap);
    return out;
}

} // namespace

Strips BlockSetter::set(const Table& t, qreal width, qreal size) {
    Strips out;
    if (t.columns.empty()) return out;
    LineStyle cell;
    cell.size = size;
    LineStyle head = cell;
    head.size = size * 0.9;
    head.voice = Voice::Strong;
    if (!t.caption.empty()) {
        LineStyle style;
        style.size = size;
        style.italic = true;
        out = stripsOf(setLines(m_types, {report::plainText(t.caption)}, width, style), 0, points(6));
        for (Strip& s : out) s.keepWithNext = true;
    }
    // Large letters give way before readings are broken over lines, the usual ones before words are broken.
    const bool large = m_enlarged > 1;
    while (!t.boxed && cell.size > size * (large ? kNarrowest : kSmallest) && leastWidth(m_types, t, head, cell, !large) > width) {
        cell.size -= size * 0.04;
        head.size = cell.size * 0.9;
    }
    if (t.boxed) {
        for (Strip& s : boxes(t, width, head, cell)) out.push_back(std::move(s));
        return out;
    }
    const std::vector<qreal> widths = columnWidths(m_types, t, width, head, cell);
    if (const auto column = wordsBelow(m_types, t, widths, cell)) {
        Strips below = withWordsBelow(t, *column, width, size);
        for (Strip& s : below) out.push_back(std::move(s));
        if (!below.empty()) return out;
    }
    const qreal right = std::accumulate(widths.begin(), widths.end(), qreal(0)) - padOf(cell) / 2;
    std::shared_ptr<const Strip> repeated;
    if (t.ruled) {
        std::vector<Inlines> words;
        for (const Table::Column& c : t.columns) words.push_back(report::headOf(c));
        Strip s = rowStrip(m_types, t, widths, words, head);
        s.marks.push_back(ruleMark({0, s.height}, {right, s.height}, points(0.7), false));
        s.above = out.empty() ? points(3) : 0;
        s.isHead = true;
        s.keepWithNext = true;
        if (s.height <= room() * 0.3) {
            repeated = std::make_shared<const Strip>(s);
            out.push_back(std::move(s));
        } else {
            // A head that takes a third of a page is said once, in lines.
            for (Strip& line : spilled(t, words, width, size)) out.push_back(std::move(line));
        }
    }
    for (std::size_t r = 0; r < t.rows.size(); ++r) {
        Strip s = rowStrip(m_types, t, widths, t.rows[r], cell);
        if (s.height > room() * 0.6) {
            for (Strip& line : spilled(t, t.rows[r], width, size)) out.push_back(std::move(line));
            continue;
        }
        if (t.ruled) s.marks.push_back(ruleMark({0, s.height}, {right, s.height}, points(0.35), true));
        s.head = repeated;
        const bool last = r + 1 == t.rows.size();
        s.keepWithNext = !last && (t.rows.size() <= kWhole || r == 0 || r + 2 == t.rows.size());
        out.push_back(std::move(s));
    }
    return out;
}

Strips BlockSetter::withWordsBelow(Table t, std::size_t column, qreal width, qreal size) {
    LineStyle words;
    words.size = size * 0.9;
    words.hang = points(9);
    const auto at = static_cast<std::ptrdiff_t>(column);
    const std::string head = t.columns[column].head;
    std::vector<Inlines> below;
    t.columns.erase(t.columns.begin() + at);
    t.caption.clear(); // has been said
    for (auto& row : t.rows) {
        below.push_back(row.size() > column ? std::move(row[column]) : Inlines{});
        if (row.size() > column) row.erase(row.begin() + at);
    }
    Strips out = set(t, width, size);
    // A head and its rows, one strip each; where any was spilled over lines it is not done.
    const std::size_t first = 1;
    if (out.size() != first + below.size() || !out.front().isHead) return {};
    for (std::size_t r = 0; r < below.size(); ++r) {
        if (below[r].empty()) continue;
        Strip& s = out[first + r];
        Inlines line;
        if (head != "what") line.push_back(report::faintText(head + ": ")); // what is what needs no name
        line.insert(line.end(), below[r].begin(), below[r].end());
        const qreal before = s.height;
        qreal y = before - kRowGap;
        std::vector<Mark> marks;
        for (SetLine& l : setLines(m_types, line, width - points(9), words)) {
            for (Mark& m : l.marks) {
                m.shift(points(9), y);
                marks.push_back(std::move(m));
            }
            y += l.height;
        }
        const qreal down = y + kRowGap - before;
        // The rule below the row comes below the words.
        for (Mark& m : s.marks)
            if (std::holds_alternative<Mark::Line>(m.is) && m.extent.top() >= before - 1) m.shift(0, down);
        for (Mark& m : marks) s.marks.push_back(std::move(m));
        s.height += down;
    }
    return out;
}

Strips BlockSetter::boxes(const Table& t, qreal width, const LineStyle& head, const LineStyle& cell) {
    const std::size_t n = t.columns.size();
    const qreal wide = width / static_cast<qreal>(n), pad = points(4), least = points(cell.size * 3.4);
    const auto row = [&](const std::vector<Inlines>& cells, const LineStyle& style, qreal tall) {
        Strip out;
        out.height = tall;
        for (std::size_t c = 0; c < n && c < cells.size(); ++c) {
            qreal y = pad;
            for (SetLine& line : setLines(m_types, cells[c], wide - 2 * pad, style)) {
                for (Mark& m : line.marks) {
                    m.shift(static_cast<qreal>(c) * wide + pad, y);
                    out.marks.push_back(std::move(m));
                }
                y += line.height;
            }
            out.height = std::max(out.height, y + pad);
        }
        for (std::size_t c = 0; c <= n; ++c) {
            const qreal x = static_cast<qreal>(c) * wide;
            out.marks.push_back(ruleMark({x, 0}, {x, out.height}, points(0.6), false));
        }
        out.marks.push_back(ruleMark({0, 0}, {width, 0}, points(0.6), false));
        out.marks.push_back(ruleMark({0, out.height}, {width, out.height}, points(0.6), false));
        return out;
    };
    Strips out;
    if (t.ruled) {
        std::vector<Inlines> words;
        for (const Table::Column& c : t.columns) words.push_back(report::headOf(c));
        out.push_back(row(words, head, 0));
        out.back().keepWithNext = true;
    }
    for (std::size_t r = 0; r < t.rows.size(); ++r) {
        out.push_back(row(t.rows[r], cell, least));
        // A form to fill in is not broken over pages; labels are.
        out.back().keepWithNext = t.ruled && t.rows.size() <= 2 * kWhole && r + 1 < t.rows.size();
    }
    if (!out.empty()) out.front().above = points(4);
    return out;
}

Strips BlockSetter::spilled(const Table& t, const std::vector<Inlines>& row, qreal width, qreal size) {
    Strips out;
    LineStyle style;
    style.size = size;
    style.hang = points(10);
    for (std::size_t c = 0; c < row.size() && c < t.columns.size(); ++c) {
        Inlines words;
        if (!t.columns[c].head.empty()) words.push_back(report::faintText(t.columns[c].head + ": "));
        words.insert(words.end(), row[c].begin(), row[c].end());
        for (Strip& s : stripsOf(setLines(m_types, words, width, style), 0, points(2))) out.push_back(std::move(s));
    }
    return out;
}

} // namespace spanwright::paper
