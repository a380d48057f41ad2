// SPDX-License-Identifier: MIT
#include "gui/ink/box_layout.h"

#include <QFontMetricsF>
#include <QPainter>
#include <QPainterPath>

#include <algorithm>
#include <array>

#include "engine/report/clean.h"

namespace spanwright::ink {

namespace {

using meaning::Box;
using Ink = BoxLayout::Ink;

/// Things set, with their measures about the base line.
struct Set {
    std::vector<Ink> inks;
    qreal width = 0, ascent = 0, descent = 0;
};

void shift(Set& s, qreal dx, qreal dy) {
    for (Ink& ink : s.inks)
        for (QPointF& p : ink.points) p += QPointF(dx, dy);
    s.ascent -= dy;
    s.descent += dy;
}

/// Puts `next` to the right of what is there.
void append(Set& s, Set next, qreal gap = 0) {
    shift(next, s.width + gap, 0);
    s.ascent = std::max(s.ascent, next.ascent);
    s.descent = std::max(s.descent, next.descent);
    s.width += gap + next.width;
    std::move(next.inks.begin(), next.inks.end(), std::back_inserter(s.inks));
}

void merge(Set& s, Set other) {
    s.ascent = std::max(s.ascent, other.ascent);
    s.descent = std::max(s.descent, other.descent);
    s.width = std::max(s.width, other.width);
    std::move(other.inks.begin(), other.inks.end(), std::back_inserter(s.inks));
}

class Setter {
public:
    explicit Setter(const QFont& font) : m_font(font) {}

    Set set(const Box& box, int level, bool soft) {
        switch (box.kind) {
        case Box::Kind::Row: return row(box.children, level, soft);
        case Box::Kind::Name: return text(box, level, soft, true, true);
        case Box::Kind::Number: return text(box, level, soft, false, true);
        case Box::Kind::Unit: return text(box, level, soft, false, true);
        case Box::Kind::Operator: return text(box, level, soft, false, true);
        case Box::Kind::Word: return text(box, level, soft, false, false);
        case Box::Kind::Sub: return script(box, level, soft, false);
        case Box::Kind::Super: return script(box, level, soft, true);
        case Box::Kind::Fraction: return fraction(box, level, soft);
        case Box::Kind::Root: return root(box, level, soft);
        case Box::Kind::Fence: return fence(box, level, soft);
        case Box::Kind::Cases: return cases(box, level, soft);
        case Box::Kind::Big: return big(box, level, soft);
        case Box::Kind::Gray: return row(box.children, level, true);
        }
        return {};
    }

    /// A row in lines no wider than `widest`, each but the first set in.
    Set broken(const Box& box, qreal widest) {
        Set whole = set(box, 0, false);
        if (widest <= 0 || whole.width <= widest || box.kind != Box::Kind::Row) return whole;
        std::vector<Set> lines(1);
        for (std::size_t i = 0; i < box.children.size(); ++i) {
            const Box& child = box.children[i];
            Set piece = spaced(box.children, i, 0, false);
            const bool op = child.kind == Box::Kind::Operator;
            // A function keeps its arguments.
            const bool glued = child.kind == Box::Kind::Fence && i > 0 && box.children[i - 1].kind != Box::Kind::Operator;
            Set& line = lines.back();
            // An operator stands at the end of a line only if its right side would not fit behind it.
            if (!op && !glued && line.width > 0 && line.width + piece.width > widest) {
                Set next;
                next.width = em(0) * 1.5;
                lines.push_back(std::move(next));
            }
            append(lines.back(), std::move(piece));
        }
        Set out = std::move(lines.front());
        qreal y = out.descent;
        for (std::size_t i = 1; i < lines.size(); ++i) {
            Set& line = lines[i];
            y += em(0) * 0.35 + line.ascent;
            const qreal below = line.descent;
            shift(line, 0, y);
            for (Ink& ink : line.inks) out.inks.push_back(std::move(ink));
            out.width = std::max(out.width, line.width);
            y += below;
        }
        out.descent = y;
        return out;
    }

private:
    QFont font(int level, bool italic, bool serif) const {
        static constexpr std::array<qreal, 3> kScale{1.0, 0.74, 0.6};
        QFont f = m_font;
        if (serif) {
            f.setFamilies({QStringLiteral("DejaVu Serif"), QStringLiteral("serif")});
            f.setStyleHint(QFont::Serif);
        }
        f.setItalic(italic);
        const qreal scale = kScale[static_cast<std::size_t>(std::min(level, 2))];
        if (m_font.pointSizeF() > 0)
            f.setPointSizeF(std::max<qreal>(5, m_font.pointSizeF() * scale));
        else
            f.setPixelSize(std::max(6, static_cast<int>(m_font.pixelSize() * scale)));
        return f;
    }
    qreal em(int level) const { return QFontMetricsF(font(level, false, true)).height() * 0.75; }
    /// Height of the line that fractions and operators are centred on.
    qreal axis(int level) const { return em(level) * 0.32; }
    qreal stroke(int level) const { return std::max<qreal>(1.0, em(level) / 14); }

    Set text(const Box& box, int level, bool soft, bool italic, bool serif) const {
        // An upright capital or digit in a name (L_2) stays in the name's own style; digits alone stand upright.
        const QString t = QString::fromStdString(box.kind == Box::Kind::Number ? report::figuresPrinted(box.text) : box.text);
        const bool digits = !t.isEmpty() && std::all_of(t.begin(), t.end(), [](QChar c) { return c.isDigit(); });
        const QFont f = font(level, italic && !digits, serif);
        const QFontMetricsF fm(f);
        Set s;
        s.width = fm.horizontalAdvance(t) + (italic && !digits ? fm.height() * 0.04 : 0);
        s.ascent = fm.ascent() * 0.86;
        s.descent = fm.descent() * 0.86;
        s.inks.push_back({Ink::Sort::Text, f, t, {QPointF(0, 0)}, 1, soft});
        return s;
    }

    static bool isOperator(const Box& b) { return b.kind == Box::Kind::Operator; }

    /// A child with the blanks that its place in a row gives it.
    Set spaced(const std::vector<Box>& children, std::size_t i, int level, bool soft) {
        const Box& child = children[i];
        Set piece = set(child, level, soft);
        const qreal thin = em(level) * (level == 0 ? 0.24 : 0.12);
        Set out;
        if (isOperator(child)) {
            const bool comma = child.text == "," || child.text == ";";
            const bool plusMinus = child.text == "−" || child.text == "-" || child.text == "+";
            const bool sign = plusMinus && (i == 0 || isOperator(children[i - 1]));
            if (child.text == ".") return piece;
            const bool dot = child.text == "·";
            const qreal gap = dot ? thin * 0.6 : i == 0 ? 0 : thin;
            append(out, std::move(piece), comma || sign ? 0 : gap);
            out.width += sign ? thin * 0.2 : dot ? gap : thin;
        } else {
            const bool unit = child.kind == Box::Kind::Unit && i > 0;
            const bool word = child.kind == Box::Kind::Word && !child.text.empty();
            const qreal blank = em(level) * 0.28;
            append(out, std::move(piece), unit ? std::max(thin, blank * 0.6) : word && i > 0 && !isOperator(children[i - 1]) ? blank : 0);
            if (word && i + 1 < children.size() && children[i + 1].kind != Box::Kind::Fence && !isOperator(children[i + 1])) out.width += blank;
        }
        return out;
    }

    Set row(const std::vector<Box>& children, int level, bool soft) {
        Set s;
        for (std::size_t i = 0; i < children.size(); ++i) append(s, spaced(children, i, level, soft));
        return s;
    }

    Set child(const Box& box, std::size_t i, int level, bool soft) { return i < box.children.size() ? set(box.children[i], level, soft) : Set{}; }

    Set script(const Box& box, int level, bool soft, bool up) {
        Set s = child(box, 0, level, soft);
        Set small = child(box, 1, level + 1, soft);
        const qreal e = em(level);
        shift(small, 0, up ? -std::max(e * 0.42, s.ascent - small.ascent * 0.62) : std::max(e * 0.2, s.descent - small.descent * 0.3));
        append(s, std::move(small), e * 0.03);
        return s;
    }

    Set fraction(const Box& box, int level, bool soft) {
        // A fraction within a script, or in another, is a size smaller.
        Set above = child(box, 0, level, soft);
        Set below = child(box, 1, level, soft);
        const qreal e = em(level), pad = e * 0.12, width = std::max(above.width, below.width) + 2 * pad, line = stroke(level);
        const qreal at = -axis(level);
        shift(above, (width - above.width) / 2, at - e * 0.12 - above.descent);
        shift(below, (width - below.width) / 2, at + e * 0.12 + line + below.ascent);
        Set s;
        s.inks.push_back({Ink::Sort::Line, {}, {}, {QPointF(pad * 0.4, at), QPointF(width - pad * 0.4, at)}, line, soft});
        merge(s, std::move(above));
        merge(s, std::move(below));
        s.width = width;
        return s;
    }

    Set root(const Box& box, int level, bool soft) {
        Set inside = child(box, 0, level, soft);
        Set degree = child(box, 1, level + 2, soft);
        const qreal e = em(level), gap = e * 0.16, hook = e * 0.55;
        const qreal top = -inside.ascent - gap, bottom = inside.descent;
        const qreal lead = std::max<qreal>(0, degree.width - hook * 0.45);
        Set s;
        const qreal x = lead;
        s.inks.push_back({Ink::Sort::Path,
                          {},
                          {},
                          {QPointF(x, bottom - (bottom - top) * 0.42), QPointF(x + hook * 0.25, bottom - (bottom - top) * 0.48),
                           QPointF(x + hook * 0.55, bottom), QPointF(x + hook, top), QPointF(x + hook + inside.width + gap, top)},
                          stroke(level),
                          soft});
        if (!degree.inks.empty()) {
            shift(degree, 0, bottom - (bottom - top) * 0.55 - degree.descent);
            merge(s, std::move(degree));
        }
        const qreal width = x + hook + gap * 0.5 + inside.width + gap;
        shift(inside, x + hook + gap * 0.5, 0);
        merge(s, std::move(inside));
        s.ascent = std::max(s.ascent, -top + stroke(level));
        s.width = width;
        return s;
    }

    Set fence(const Box& box, int level, bool soft) {
        Set inside = row(box.children, level, soft);
        const qreal e = em(level), top = -inside.ascent - e * 0.04, bottom = inside.descent + e * 0.04;
        const bool bars = box.text == "|";
        const qreal side = bars ? e * 0.3 : e * 0.34;
        const auto bracket = [&](qreal x, bool open) {
            Ink ink{Ink::Sort::Path, {}, {}, {}, stroke(level), soft};
            if (bars) {
                ink.points = {QPointF(x + side / 2, top), QPointF(x + side / 2, bottom)};
            } else {
                // A part of an ellipse.
                constexpr int kSteps = 12;
                for (int i = 0; i <= kSteps; ++i) {
                    const qreal t = -1 + 2.0 * i / kSteps, bulge = (1 - t * t) * side * 0.55;
                    ink.points.push_back(QPointF(open ? x + side * 0.8 - bulge : x + side * 0.2 + bulge, (top + bottom) / 2 + t * (bottom - top) / 2));
                }
            }
            return ink;
        };
        Set s;
        s.inks.push_back(bracket(0, true));
        const qreal right = side + inside.width;
        shift(inside, side, 0);
        merge(s, std::move(inside));
        s.inks.push_back(bracket(right, false));
        s.width = right + side;
        s.ascent = std::max(s.ascent, -top);
        s.descent = std::max(s.descent, bottom);
        return s;
    }

    Set cases(const Box& box, int level, bool soft) {
        const qreal e = em(level), gap = e * 0.3;
        std::vector<Set> lines;
        qreal valueWidth = 0;
        for (std::size_t i = 0; i < box.children.size(); i += 2) valueWidth = std::max(valueWidth, set(box.children[i], level, soft).width);
        qreal height = 0;
        for (std::size_t i = 0; i < box.children.size(); i += 2) {
            Set line = set(box.children[i], level, soft);
            line.width = valueWidth;
            if (i + 1 < box.children.size()) append(line, set(box.children[i + 1], level, soft), e * 0.7);
            height += line.ascent + line.descent + (lines.empty() ? 0 : gap);
            lines.push_back(std::move(line));
        }
        Set s;
        const qreal top = -axis(level) - height / 2, bottom = top + height, brace = e * 0.45, mid = (top + bottom) / 2;
        s.inks.push_back({Ink::Sort::Path,
                          {},
                          {},
                          {QPointF(brace, top), QPointF(brace * 0.6, top + e * 0.12), QPointF(brace * 0.5, mid - e * 0.15), QPointF(0, mid),
                           QPointF(brace * 0.5, mid + e * 0.15), QPointF(brace * 0.6, bottom - e * 0.12), QPointF(brace, bottom)},
                          stroke(level),
                          soft});
        qreal y = top, width = 0;
        for (Set& line : lines) {
            const qreal tall = line.ascent + line.descent;
            shift(line, brace * 1.5, y + line.ascent);
            width = std::max(width, line.width);
            merge(s, std::move(line));
            y += tall + gap;
        }
        s.width = brace * 1.5 + width;
        s.ascent = -top;
        s.descent = bottom;
        return s;
    }

    Set big(const Box& box, int level, bool soft) {
        const bool integral = box.text == "∫";
        Set sign = text({Box::Kind::Word, box.text, {}}, level, soft, false, integral);
        if (integral) {
            for (Ink& ink : sign.inks) {
                if (ink.font.pointSizeF() > 0)
                    ink.font.setPointSizeF(ink.font.pointSizeF() * 1.6);
                else
                    ink.font.setPixelSize(static_cast<int>(ink.font.pixelSize() * 1.6));
                const QFontMetricsF fm(ink.font);
                sign.width = fm.horizontalAdvance(ink.text);
                sign.ascent = fm.ascent() * 0.9;
                sign.descent = fm.descent();
            }
        }
        Set below = child(box, 0, level + 1, soft);
        Set above = child(box, 1, level + 1, soft);
        Set body = child(box, 2, level, soft);
        const qreal width = std::max({sign.width, below.width, above.width});
        shift(below, (width - below.width) / 2, sign.descent + below.ascent);
        shift(above, (width - above.width) / 2, -sign.ascent - above.descent);
        shift(sign, (width - sign.width) / 2, 0);
        Set s;
        merge(s, std::move(sign));
        merge(s, std::move(below));
        merge(s, std::move(above));
        s.width = width;
        append(s, std::move(body), em(level) * 0.25);
        return s;
    }

    QFont m_font;
};

} // namespace

BoxLayout::BoxLayout(const Box& box, const QFont& font, qreal widest) {
    Set s = Setter(font).broken(box, widest);
    m_inks = std::move(s.inks);
    m_width = s.width;
    m_ascent = s.ascent;
    m_descent = s.descent;
}

void BoxLayout::draw(QPainter& painter, QPointF topLeft, const QColor& ink, const QColor& soft) const {
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setBrush(Qt::NoBrush);
    const QPointF origin = topLeft + QPointF(0, m_ascent);
    for (const Ink& i : m_inks) {
        const QColor& color = i.soft ? soft : ink;
        if (i.sort == Ink::Sort::Text) {
            painter.setPen(color);
            painter.setFont(i.font);
            painter.drawText(origin + i.points.front(), i.text);
            continue;
        }
        painter.setPen(QPen(color, i.width, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
        QPainterPath path(origin + i.points.front());
        for (std::size_t k = 1; k < i.points.size(); ++k) path.lineTo(origin + i.points[k]);
        painter.drawPath(path);
    }
    painter.restore();
}

} // namespace spanwright::ink
