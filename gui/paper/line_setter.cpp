// SPDX-License-Identifier: MIT
#include "gui/paper/line_setter.h"

#include <QFontMetricsF>
#include <QTextBoundaryFinder>

#include <algorithm>

#include "engine/report/clean.h"
#include "gui/paper/page_format.h"

namespace spanwright::paper {

namespace {

using report::Inline;

/// What stands between two places where a line may be broken.
struct Piece {
    enum class Sort : char { Word, Blank, Formula, Stamp } sort = Sort::Word;
    Types::Face* face = nullptr;
    QString text;
    bool faint = false;
    std::shared_ptr<const ink::BoxLayout> formula;
    qreal scale = 1;
    ink::Stamp stamp = ink::Stamp::None;
    qreal width = 0, ascent = 0, descent = 0;
    bool glued = false; ///< to what stands before it: no break between them
    std::string target; ///< of a link
};

Voice voiceOf(Inline::Kind kind, Voice base) {
    switch (kind) {
    case Inline::Kind::Strong: return Voice::Strong;
    case Inline::Kind::Faint: return Voice::Faint;
    case Inline::Kind::Code: return Voice::Code;
    default: return base;
    }
}

class Cutter {
public:
    Cutter(Types& types, const LineStyle& style) : m_types(types), m_style(style) {}

    std::vector<Piece> cut(const report::Inlines& words) {
        for (const Inline& i : words) {
            if (i.kind == Inline::Kind::Math)
                formula(i);
            else if (i.kind == Inline::Kind::Boxed)
                stamp(i);
            else
                text(i);
        }
        return std::move(m_pieces);
    }

private:
    Types& m_types;
    const LineStyle& m_style;
    std::vector<Piece> m_pieces;

    void add(Piece p) {
        p.glued = p.sort != Piece::Sort::Blank && !m_pieces.empty() && m_pieces.back().sort != Piece::Sort::Blank;
        m_pieces.push_back(std::move(p));
    }
    void text(const Inline& i) {
        const Voice voice = voiceOf(i.kind, m_style.voice);
        // A typewriter's letters are wider at the same size.
        const qreal size = voice == Voice::Code ? m_style.size * 0.92 : m_style.size;
        Types::Face& face = m_types.face(voice, size, m_style.italic);
        // A number and its unit are one word, with a blank in it.
        const QString all = QString::fromStdString(i.kind == Inline::Kind::Code ? report::cleaned(i.text) : report::asPrinted(report::cleaned(i.text)));
        const auto put = [&](const QString& part, Piece::Sort sort) {
            Piece p;
            p.sort = sort;
            p.face = &face;
            p.text = part;
            p.faint = voice == Voice::Faint;
            if (i.kind == Inline::Kind::Link) p.target = i.target;
            p.width = sort == Piece::Sort::Blank ? face.blank * static_cast<qreal>(part.size()) : face.width(part);
            p.ascent = face.ascent;
            p.descent = face.descent;
            add(std::move(p));
        };
        for (qsizetype at = 0; at < all.size();) {
            const bool blank = all[at] == QLatin1Char(' ');
            qsizetype end = at + 1;
            while (end < all.size() && (all[end] == QLatin1Char(' ')) == blank) ++end;
            put(all.mid(at, end - at).replace(QChar::Nbsp, QLatin1Char(' ')), blank ? Piece::Sort::Blank : Piece::Sort::Word);
            at = end;
        }
    }
    void formula(const Inline& i) {
        Piece p;
        p.sort = Piece::Sort::Formula;
        p.target = i.target;
        p.formula = std::make_shared<ink::BoxLayout>(i.math, m_types.face(m_style.voice, m_style.size).font);
        p.width = p.formula->size().width();
        p.ascent = p.formula->ascent();
        p.descent = p.formula->size().height() - p.ascent;
        add(std::move(p));
    }
    void stamp(const Inline& i) {
        Piece p;
        p.sort = Piece::Sort::Stamp;
        p.face = &m_types.face(i.stamp == report::Stamp::NotApplicable ? Voice::Plain : Voice::Strong, m_style.size * 0.88);
        const std::string_view word = report::stampText(i.stamp);
        p.text = QString::fromUtf8(word.data(), static_cast<qsizetype>(word.size()));
        p.stamp = ink::stampOf(i.stamp);
        const QSizeF box = ink::stampSize(p.face->font, p.text, p.stamp);
        p.width = box.width();
        p.ascent = box.height() * 0.72;
        p.descent = box.height() * 0.28;
        add(std::move(p));
    }
};

class Filler {
public:
    // A hair more: what was measured to fit fits, however sums are rounded.
    Filler(qreal width, const LineStyle& style) : m_room(width + 1e-3), m_style(style) {}

    std::vector<SetLine> fill(std::vector<Piece> pieces) {
        for (std::size_t i = 0; i < pieces.size();) {
            if (pieces[i].sort == Piece::Sort::Blank) {
                // At the start of a line blanks are dropped; elsewhere they wait for what follows.
                if (!m_line.empty()) m_waiting.push_back(pieces[i]);
                ++i;
                continue;
            }
            std::size_t end = i + 1;
            while (end < pieces.size() && pieces[end].glued) ++end;
            chunk({pieces.begin() + static_cast<std::ptrdiff_t>(i), pieces.begin() + static_cast<std::ptrdiff_t>(end)});
            i = end;
        }
        flush();
        return std::move(m_lines);
    }

private:
    qreal m_room;
    const LineStyle& m_style;
    std::vector<SetLine> m_lines;
    std::vector<Piece> m_line, m_waiting;
    qreal m_width = 0;

    [[nodiscard]] qreal room() const { return m_lines.empty() ? m_room : m_room - m_style.hang; }
    static qreal widthOf(const std::vector<Piece>& pieces) {
        qreal w = 0;
        for (const Piece& p : pieces) w += p.width;
        return w;
    }

    void chunk(std::vector<Piece> pieces) {
        const qreal wide = widthOf(pieces), blanks = widthOf(m_waiting);
        if (!m_line.empty() && m_width + blanks + wide > room()) flush();
        if (m_line.empty()) m_waiting.clear();
        if (widthOf(pieces) <= room()) {
            for (Piece& p : m_waiting) place(std::move(p));
            m_waiting.clear();
            for (Piece& p : pieces) place(std::move(p));
            return;
        }
        m_waiting.clear();
        for (Piece& p : pieces) tooWide(std::move(p));
    }
    void place(Piece p) {
        m_width += p.width;
        m_line.push_back(std::move(p));
    }
    /// Alone too wide for a line, or part of what is.
    void tooWide(Piece p) {
        // A size or a reading, one word with blanks in it, is first broken there.
        if (const qsizetype blank = p.sort == Piece::Sort::Word ? p.text.lastIndexOf(QLatin1Char(' ')) : -1; blank > 0) {
            const auto cut = [&](qsizetype from, qsizetype length) {
                Piece part = p;
                part.text = p.text.mid(from, length);
                part.width = p.face->width(part.text);
                return part;
            };
            for (qsizetype from = 0; from < p.text.size();) {
                // As much of it as the line still takes, up to a blank.
                qsizetype end = p.text.size();
                while (end > from && m_width + cut(from, end - from).width > room()) end = from < end ? p.text.lastIndexOf(QLatin1Char(' '), end - 1) : from;
                if (end <= from) {
                    if (!m_line.empty()) {
                        flush();
                        continue;
                    }
                    end = p.text.indexOf(QLatin1Char(' '), from);
                    if (end < 0) end = p.text.size();
                    tooWide(cut(from, end - from));
                } else
                    place(cut(from, end - from));
                from = end + 1;
                if (from < p.text.size()) flush();
            }
            return;
        }
        if (p.sort == Piece::Sort::Word) {
            QTextBoundaryFinder letters(QTextBoundaryFinder::Grapheme, p.text);
            qsizetype from = 0, last = 0;
            qreal width = 0;
            const auto take = [&] {
                Piece part = p;
                part.text = p.text.mid(from, last - from);
                part.width = width;
                place(std::move(part));
                from = last;
                width = 0;
            };
            for (qsizetype next = letters.toNextBoundary(); next > 0; next = letters.toNextBoundary()) {
                const qreal w = QFontMetricsF(p.face->font).horizontalAdvance(p.text.mid(from, next - from));
                if (m_width + w > room()) {
                    if (last > from) take();
                    if (!m_line.empty()) flush();
                    last = from; // what is left of the word begins a line
                    width = QFontMetricsF(p.face->font).horizontalAdvance(p.text.mid(from, next - from));
                    last = next;
                    continue;
                }
                width = w;
                last = next;
            }
            if (last > from) take();
            return;
        }
        if (!m_line.empty() && m_width + p.width > room()) flush();
        if (p.width > room()) {
            p.scale = room() / p.width;
            p.width = room();
            p.ascent *= p.scale;
            p.descent *= p.scale;
        }
        place(std::move(p));
    }

    void flush() {
        if (m_line.empty()) return;
        SetLine line;
        qreal descent = 0;
        for (const Piece& p : m_line) {
            line.base = std::max(line.base, p.ascent);
            descent = std::max(descent, p.descent);
        }
        line.height = line.base + descent;
        qreal x = m_lines.empty() ? 0 : m_style.hang;
        for (std::size_t i = 0; i < m_line.size(); ++i) {
            const Piece& p = m_line[i];
            const QRectF extent(x, line.base - p.ascent, p.width, p.ascent + p.descent);
            switch (p.sort) {
            case Piece::Sort::Word: word(line, i, x, extent); break;
            case Piece::Sort::Formula: line.marks.push_back({Mark::Formula{p.formula, extent.topLeft(), p.scale}, extent, p.target}); break;
            case Piece::Sort::Stamp: {
                QFont font = p.face->font;
                if (p.scale < 1) font.setPixelSize(std::max(1, static_cast<int>(font.pixelSize() * p.scale)));
                line.marks.push_back({Mark::Stamp{font, p.text, p.stamp, extent}, extent});
                break;
            }
            case Piece::Sort::Blank: break;
            }
            x += p.width;
        }
        line.width = x;
        m_lines.push_back(std::move(line));
        m_line.clear();
        m_waiting.clear();
        m_width = 0;
    }
    /// Words of one face that stand together are one text, so that they are copied out of the file with their blanks.
    void word(SetLine& line, std::size_t i, qreal x, const QRectF& extent) const {
        const Piece& p = m_line[i];
        if (i >= 2 && m_line[i - 1].sort == Piece::Sort::Blank && m_line[i - 1].text.size() == 1 && m_line[i - 2].sort == Piece::Sort::Word &&
            m_line[i - 2].face == p.face && m_line[i - 1].face == p.face && m_line[i - 2].faint == p.faint && m_line[i - 2].target == p.target) {
            Mark& last = line.marks.back();
            std::get<Mark::Text>(last.is).text += m_line[i - 1].text + p.text;
            last.extent.setRight(extent.right());
            return;
        }
        line.marks.push_back({Mark::Text{p.face->font, p.text, QPointF(x, line.base), p.faint}, extent, p.target});
    }
};

} // namespace

std::vector<SetLine> setLines(Types& types, const report::Inlines& words, qreal width, const LineStyle& style) {
    return Filler(std::max(width, points(style.size)), style).fill(Cutter(types, style).cut(words));
}

Widths widthsOf(Types& types, const report::Inlines& words, const LineStyle& style) {
    Widths out;
    qreal run = 0;
    for (const Piece& p : Cutter(types, style).cut(words)) {
        out.whole += p.width;
        run = p.glued ? run + p.width : p.sort == Piece::Sort::Blank ? 0 : p.width;
        out.least = std::max(out.least, run);
    }
    return out;
}

Strips stripsOf(std::vector<SetLine> lines, qreal x, qreal above) {
    Strips out;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        Strip s;
        s.above = i == 0 ? above : 0;
        s.height = lines[i].height;
        s.marks = std::move(lines[i].marks);
        for (Mark& m : s.marks) m.shift(x, 0);
        s.keepWithNext = lines.size() > 1 && (i == 0 || i + 2 == lines.size());
        out.push_back(std::move(s));
    }
    return out;
}

} // namespace spanwright::paper
