// SPDX-License-Identifier: MIT
#include <algorithm>

#include "engine/report/clean.h"
#include "engine/report/write.h"

namespace spanwright::report {

namespace {

/// Stands for a blank at which a line must not be broken, until the line is written.
constexpr char kTie = '\x01';

std::string lineText(const Inlines& line) {
    std::string out;
    for (const Inline& i : line) {
        std::string words = cleaned(i.kind == Inline::Kind::Math ? meaning::plain(i.math) : i.kind == Inline::Kind::Boxed ? wordsOf({i}) : i.text);
        if (i.kind == Inline::Kind::Boxed) std::replace(words.begin(), words.end(), ' ', kTie);
        out += words;
    }
    while (!out.empty() && out.back() == ' ') out.pop_back();
    return out;
}

std::size_t widthOf(const std::string& text) { return textWidth(text); }

/// Splits a word that is longer than the column.
void pushWord(std::vector<std::string>& lines, std::string word, std::size_t width, bool cutLong) {
    while (cutLong && widthOf(word) > width) {
        std::size_t at = 0;
        for (std::size_t n = 0; n < width && at < word.size(); ++n) {
            ++at;
            while (at < word.size() && (static_cast<unsigned char>(word[at]) & 0xC0U) == 0x80U) ++at;
        }
        // A name is cut behind one of its parts where that leaves something of it on the line.
        if (const std::size_t part = word.rfind('_', at - 1); part != std::string::npos && part > 0 && part + 1 < at) at = part + 1;
        lines.push_back(word.substr(0, at));
        word.erase(0, at);
    }
    lines.push_back(std::move(word));
}

std::vector<std::string> wrapped(const std::string& text, std::size_t width, bool cutLong) {
    std::vector<std::string> lines;
    std::size_t at = 0;
    bool fresh = true;
    while (at < text.size()) {
        std::size_t begin = at;
        while (begin < text.size() && text[begin] == ' ') ++begin;
        const std::size_t end = std::min(text.find(' ', begin), text.size());
        const std::string blanks = text.substr(at, begin - at);
        const std::string word = text.substr(begin, end - begin);
        if (word.empty()) break;
        if (!fresh && widthOf(lines.back()) + blanks.size() + widthOf(word) <= width)
            lines.back() += blanks + word;
        else
            pushWord(lines, word, width, cutLong);
        fresh = false;
        at = end;
    }
    if (lines.empty()) lines.emplace_back();
    return lines;
}

class Writer {
public:
    explicit Writer(std::size_t width) : m_width(std::max<std::size_t>(width, 40)) {}

    void document(const Document& d) {
        for (const Section& s : d.sections) {
            if (!m_out.empty()) blank();
            m_indent = 0;
            if (!s.title.empty()) ruledLine(cleaned(s.title), '=');
            for (const Block& b : s.blocks) block(b);
        }
    }

    [[nodiscard]] std::string take() {
        std::replace(m_out.begin(), m_out.end(), kTie, ' ');
        return std::move(m_out);
    }

private:
    std::string m_out;
    std::size_t m_width;
    std::size_t m_indent = 0;
    std::string m_prefix; ///< of a frame

    [[nodiscard]] std::size_t room() const { return std::max<std::size_t>(20, m_width - std::min(m_width, m_indent + m_prefix.size())); }

    void line(const std::string& text) {
        std::string out = m_prefix + std::string(m_indent, ' ') + text;
        while (!out.empty() && out.back() == ' ') out.pop_back();
        m_out += out + "\n";
    }
    void blank() {
        if (m_out.size() >= 2 && m_out.compare(m_out.size() - 2, 2, "\n\n") == 0) return;
        m_out += "\n";
    }
    void ruledLine(const std::string& title, char rule) {
        std::size_t longest = 0;
        for (const std::string& l : wrapped(title, room(), false)) {
            line(l);
            longest = std::max(longest, widthOf(l));
        }
        line(std::string(longest, rule));
    }
    void paragraph(const std::string& text, const std::string& first = "", const std::string& rest = "") {
        bool started = false;
        for (const std::string& l : wrapped(text, room() - std::min(room() - 1, std::max(widthOf(first), rest.size())), false)) {
            line((started ? rest : first) + l);
            started = true;
        }
    }

    void block(const Block& b) {
        std::visit([this](const auto& is) { put(is); }, b.is);
    }
    void put(const Heading& h) {
        m_indent = 0;
        if (h.level == 1)
            ruledLine(lineText(h.text), '=');
        else if (h.level == 2) {
            ruledLine(lineText(h.text), '-');
        } else {
            blank();
            paragraph(lineText(h.text));
            m_indent = 2;
        }
    }
    void put(const Paragraph& p) {
        if (p.role == Paragraph::Role::Note)
            paragraph(lineText(p.text), "| ", "| ");
        else
            paragraph(lineText(p.text));
    }
    void put(const Bullets& b) {
        for (const Bullets::Item& i : b.items) item(i);
    }
    void item(const Bullets::Item& i) {
        paragraph(lineText(i.text), "- ", "  ");
        m_indent += 2;
        for (const Bullets::Item& below : i.below) item(below);
        m_indent -= 2;
    }
    void put(const Framed& f) {
        const std::string before = m_prefix;
        const std::size_t indent = m_indent;
        blank();
        line("+-- " + cleaned(f.title));
        m_prefix += std::string(m_indent, ' ') + "| ";
        m_indent = 0;
        for (const Block& b : f.blocks) block(b);
        m_prefix = before;
        m_indent = indent;
        line("+--");
    }
    void put(const Figure& f) { paragraph("(figure: " + cleaned(f.drawing.title.empty() ? f.caption : f.drawing.title) + ")"); }
    void put(const Equation& e) {
        std::size_t left = 0;
        for (const Equation::Line& l : e.lines) left = std::max(left, widthOf(cleaned(meaning::plain(l.left))));
        if (left > room() / 2) left = 4;
        for (const Equation::Line& l : e.lines) {
            const std::string side = cleaned(meaning::plain(l.left));
            const std::string right = cleaned(meaning::plain(l.right));
            std::string text = l.relation;
            if (!right.empty()) text += (text.empty() ? "" : " ") + right;
            const std::string gap = left == 0 || text.empty() ? "" : " ";
            const std::string lead = widthOf(side) < left ? side + std::string(left - widthOf(side), ' ') : side;
            if (widthOf(lead) > left)
                paragraph(lead + gap + text, "", std::string(left + 3, ' '));
            else
                paragraph(text, lead + gap, std::string(left + gap.size() + 2, ' '));
        }
    }
    void put(const CalcLine& c) {
        blank();
        for (const Block& b : c.calculation) block(b);
        std::string result;
        for (const Inlines& r : c.result) result += (result.empty() ? "" : ", ") + lineText(r);
        if (!result.empty()) paragraph(result, "  => ", "     ");
        if (const std::string reference = lineText(c.reference); !reference.empty()) paragraph(reference, "  ref: ", "       ");
    }
    void put(const Table& t);
};

void Writer::put(const Table& t) {
    const std::size_t columns = t.columns.size();
    if (columns == 0) return;
    std::vector<std::vector<std::string>> cells;
    if (t.ruled) {
        cells.emplace_back();
        for (const Table::Column& c : t.columns) cells.back().push_back(cleaned(c.head));
    }
    for (const auto& row : t.rows) {
        cells.emplace_back(columns);
        for (std::size_t c = 0; c < columns && c < row.size(); ++c) cells.back()[c] = lineText(row[c]);
    }
    std::vector<std::size_t> width(columns, 0);
    for (const auto& row : cells) {
        for (std::size_t c = 0; c < columns; ++c) width[c] = std::max(width[c], widthOf(row[c]));
    }
    constexpr std::size_t kGap = 2;
    const auto total = [&] {
        std::size_t sum = 0;
        for (const std::size_t w : width) sum += w + kGap;
        return sum - kGap;
    };
    // First the columns made for it give way, the widest first, then any.
    for (const bool any : {false, true}) {
        while (total() > room()) {
            std::size_t widest = columns;
            for (std::size_t c = 0; c < columns; ++c) {
                if ((any || t.columns[c].wraps) && width[c] > (any ? 8U : 12U) && (widest == columns || width[c] > width[widest])) widest = c;
            }
            if (widest == columns) break;
            --width[widest];
        }
    }
    if (!t.caption.empty()) paragraph(cleaned(t.caption));
    for (std::size_t r = 0; r < cells.size(); ++r) {
        std::vector<std::vector<std::string>> parts;
        std::size_t height = 1;
        for (std::size_t c = 0; c < columns; ++c) {
            parts.push_back(wrapped(cells[r][c], std::max<std::size_t>(1, width[c]), true));
            height = std::max(height, parts.back().size());
        }
        for (std::size_t h = 0; h < height; ++h) {
            std::string text;
            for (std::size_t c = 0; c < columns; ++c) {
                const std::string part = h < parts[c].size() ? parts[c][h] : std::string();
                const std::string pad(width[c] - std::min(width[c], widthOf(part)), ' ');
                text += (c == 0 ? "" : std::string(kGap, ' ')) + (t.columns[c].align == Table::Align::Right ? pad + part : part + pad);
            }
            line(text);
        }
        if (t.ruled && r == 0) {
            std::string rule;
            for (std::size_t c = 0; c < columns; ++c) rule += (c == 0 ? "" : std::string(kGap, ' ')) + std::string(width[c], '-');
            line(rule);
        }
    }
}

} // namespace

std::string writeText(const Document& d, std::size_t width) {
    Writer w(width);
    w.document(d);
    return w.take();
}

} // namespace spanwright::report
