// SPDX-License-Identifier: MIT
#include "gui/paper/block_setter.h"

#include <algorithm>

#include "engine/report/clean.h"

namespace spanwright::paper {

namespace {

using report::Inlines;

constexpr qreal kBody = 8;       ///< points
constexpr qreal kReference = 7;  ///< in the outer columns
constexpr qreal kReadable = 0.5; ///< points a unit of a drawing, whose letters have 11 units
constexpr qreal kModest = 0.58;  ///< the same, where there is no need to go so far
constexpr qreal kLineGap = points(1.5);
constexpr std::size_t kShortList = 10;
constexpr std::size_t kLeadLines = 5; ///< words that are no more lines lead to what follows them

Mark textMark(const Types::Face& face, const QString& text, QPointF base, qreal width) {
    return {Mark::Text{face.font, text, base, false}, QRectF(base.x(), base.y() - face.ascent, width, face.ascent + face.descent)};
}

void append(Strips& out, Strips more) {
    for (Strip& s : more) out.push_back(std::move(s));
}

/// Lines as one strip, for a column beside others.
Strip columnStrip(Types& types, const std::vector<Inlines>& paragraphs, qreal width, const LineStyle& style) {
    Strips all;
    for (const Inlines& p : paragraphs) append(all, stripsOf(setLines(types, p, width, style), 0, kLineGap));
    return joined(std::move(all));
}

} // namespace

Mark ruleMark(QPointF from, QPointF to, qreal width, bool faint) {
    return {Mark::Line{from, to, width, Mark::Line::Stroke::Solid, faint}, QRectF(from, to).normalized()};
}

qreal BlockSetter::bodySize() const { return kBody * m_enlarged; }

Strips BlockSetter::section(const report::Section& s, qreal enlarged) {
    m_enlarged = enlarged;
    m_contents = s.id == "contents";
    m_below = 0;
    const qreal width = m_format.body().width();
    Strips out;
    if (!s.title.empty()) {
        out = set(report::Heading{2, {report::plainText(s.title)}, {}}, width, bodySize());
        m_below = 1;
    }
    // Text flows past drawings of a member, and of the load path. Elsewhere, as in a cutting plan, their place says what they belong to.
    const bool free = s.calculation || s.id == "members" || s.id == "basis";
    for (std::size_t i = 0; i < s.blocks.size(); ++i) {
        const report::Block& b = s.blocks[i];
        if (const auto* left = std::get_if<report::Figure>(&b.is); left != nullptr && i + 1 < s.blocks.size()) {
            if (const auto* right = std::get_if<report::Figure>(&s.blocks[i + 1].is)) {
                if (Strips both = pair(*left, *right, width, bodySize()); !both.empty()) {
                    both.front().floats = free;
                    append(out, std::move(both));
                    ++i;
                    continue;
                }
            }
        }
        const auto* line = std::get_if<report::CalcLine>(&b.is);
        if (line != nullptr && s.calculation)
            append(out, calcRow(*line, width));
        else {
            Strips more = blocks({b}, width, bodySize());
            if (more.size() == 1 && std::holds_alternative<report::Figure>(b.is)) more.front().floats = free;
            // A line or two that lead to a list or a table stay with it; so do those of a heading with the first row below.
            if (std::holds_alternative<report::Paragraph>(b.is) && more.size() <= 3 && i + 1 < s.blocks.size()) {
                const auto& next = s.blocks[i + 1].is;
                // Where drawings do not float, the words before one are its own.
                const bool leads = std::holds_alternative<report::Bullets>(next) || std::holds_alternative<report::Table>(next) ||
                                   (!free && std::holds_alternative<report::Figure>(next));
                const bool headed = i > 0 && std::holds_alternative<report::Heading>(s.blocks[i - 1].is) &&
                                    (std::holds_alternative<report::CalcLine>(next) || std::holds_alternative<report::Paragraph>(next) ||
                                     std::holds_alternative<report::Figure>(next));
                if (!more.empty() && (leads || headed)) more.back().keepWithNext = true;
            }
            // What is said behind a table, such as which requirements are met, is said of it.
            if (free && !more.empty() && std::holds_alternative<report::Table>(b.is) && i + 1 < s.blocks.size() &&
                std::holds_alternative<report::Paragraph>(s.blocks[i + 1].is))
                more.back().keepWithNext = true;
            append(out, std::move(more));
        }
    }
    if (out.empty()) out.emplace_back();
    out.front().ids.push_back(s.id);
    return out;
}

Strips BlockSetter::blocks(const std::vector<report::Block>& list, qreal width, qreal size) {
    Strips out;
    for (std::size_t i = 0; i < list.size(); ++i) {
        Strips more = std::visit([&](const auto& is) { return set(is, width, size); }, list[i].is);
        // A line or two stay with the formula, the list or the table that they lead to, and a note with what it is about.
        if (!more.empty() && i + 1 < list.size()) {
            const auto& next = list[i + 1].is;
            const auto* words = std::get_if<report::Paragraph>(&next);
            const bool leads = std::holds_alternative<report::Paragraph>(list[i].is) && more.size() <= kLeadLines &&
                               (std::holds_alternative<report::Equation>(next) || std::holds_alternative<report::Table>(next) ||
                                std::holds_alternative<report::Bullets>(next));
            if (leads || (words != nullptr && words->role == report::Paragraph::Role::Note)) more.back().keepWithNext = true;
        }
        append(out, std::move(more));
    }
    return out;
}

Strips BlockSetter::set(const report::Heading& h, qreal width, qreal) {
    LineStyle style;
    style.size = (h.level <= 1 ? 22 : h.level == 2 ? 13 : h.level == 3 ? 10 : 8.5) * m_enlarged;
    style.voice = Voice::Strong;
    const qreal above = h.level <= 1 ? points(60) : h.level == 2 ? points(16) : points(12);
    Strip s = joined(stripsOf(setLines(m_types, h.text, width, style), 0, above));
    s.above = above;
    if (h.level == 2 || h.level == 3) {
        s.height += points(2.5);
        s.marks.push_back(ruleMark({0, s.height}, {width, s.height}, h.level == 2 ? points(0.9) : points(0.4), h.level == 3));
        s.height += points(1.5);
    } else if (h.level <= 1)
        s.height += points(6);
    s.keepWithNext = true;
    s.leads = h.level <= 2;
    s.depth = m_below + std::max(0, h.level - 2);
    s.bookmark = QString::fromStdString(report::cleaned(report::wordsOf(h.text))).simplified();
    if (!h.id.empty()) s.ids.push_back(h.id);
    return {std::move(s)};
}

Strips BlockSetter::set(const report::Paragraph& p, qreal width, qreal size) {
    LineStyle style;
    style.size = size;
    if (p.role == report::Paragraph::Role::Plain) return stripsOf(setLines(m_types, p.text, width, style), 0, points(3));
    // A note has one stroke at its left, a remark two.
    const bool remark = p.role == report::Paragraph::Role::Remark;
    const qreal in = points(9);
    style.italic = !remark;
    Strips out = stripsOf(setLines(m_types, p.text, width - in, style), in, 0);
    for (std::size_t i = 0; i < out.size(); ++i) {
        Strip& s = out[i];
        s.marks.push_back(ruleMark({points(3), 0}, {points(3), s.height}, points(0.7), false));
        if (remark) s.marks.push_back(ruleMark({points(5), 0}, {points(5), s.height}, points(0.7), false));
        if (i == 0) s.above = points(4);
    }
    return out;
}

void BlockSetter::items(Strips& out, const std::vector<report::Bullets::Item>& list, qreal x, qreal width, qreal size, int depth) {
    LineStyle style;
    style.size = size;
    Types::Face& face = m_types.face(Voice::Plain, size);
    // However deep a list is, room for words is left.
    const qreal in = points(depth < 12 ? std::max<qreal>(10, size * 1.1) : 0);
    for (const report::Bullets::Item& i : list) {
        const auto link = std::find_if(i.text.begin(), i.text.end(), [](const report::Inline& l) { return l.kind == report::Inline::Kind::Link; });
        const bool numbered = m_contents && link != i.text.end();
        const qreal number = numbered ? points(24) : 0;
        std::vector<SetLine> lines = setLines(m_types, i.text, width - x - in - number, style);
        if (lines.empty()) lines.emplace_back();
        Strips strips = stripsOf(lines, x + in, points(numbered && depth == 0 ? 4 : 2));
        const qreal base = lines.front().base;
        const QString bullet = depth % 2 == 0 ? QStringLiteral("\u2022") : QStringLiteral("\u2013");
        if (!numbered && in > 0) strips.front().marks.push_back(textMark(face, bullet, {x + points(1), base}, face.width(bullet)));
        if (numbered) {
            Strip& last = strips.back();
            const qreal y = lines.back().base, from = x + in + lines.back().width + points(4), to = width - number;
            if (to > from)
                last.marks.push_back({Mark::Line{{from, y}, {to, y}, points(0.6), Mark::Line::Stroke::Dotted, false}, QRectF(from, y, to - from, 0)});
            last.marks.push_back({Mark::PageNumber{face.font, link->target, {width, y}}, QRectF(to, y - face.ascent, number, face.ascent + face.descent)});
        }
        append(out, std::move(strips));
        items(out, i.below, x + in, width, size, depth + 1);
    }
}

Strips BlockSetter::set(const report::Bullets& b, qreal width, qreal size) {
    Strips out;
    items(out, b.items, 0, width, size, 0);
    // A short list is not broken over pages.
    if (out.size() <= kShortList)
        for (std::size_t i = 0; i + 1 < out.size(); ++i) out[i].keepWithNext = true;
    return out;
}

Strips BlockSetter::set(const report::Framed& f, qreal width, qreal size) {
    const qreal pad = points(7), right = width;
    Strips inside;
    if (!f.title.empty()) {
        LineStyle style;
        style.size = size;
        style.voice = Voice::Strong;
        inside = stripsOf(setLines(m_types, {report::plainText(f.title)}, width - 2 * pad, style), 0, 0);
        for (Strip& s : inside) s.keepWithNext = true;
    }
    append(inside, blocks(f.blocks, width - 2 * pad, size));
    shift(inside, pad);
    Strips out;
    Strip top;
    top.above = points(8);
    top.height = points(5);
    top.keepWithNext = true;
    out.push_back(std::move(top));
    for (std::size_t i = 0; i < inside.size(); ++i) {
        Strip& s = inside[i];
        // The sides run on through the space between strips.
        s.height += s.above;
        for (Mark& m : s.marks) m.shift(0, s.above);
        s.above = 0;
        out.push_back(std::move(s));
    }
    // The last strip keeps its foot.
    out.back().keepWithNext = true;
    Strip foot;
    foot.height = points(6);
    out.push_back(std::move(foot));
    for (Strip& s : out) {
        s.marks.push_back(ruleMark({0, 0}, {0, s.height}, points(0.8), false));
        s.marks.push_back(ruleMark({right, 0}, {right, s.height}, points(0.8), false));
    }
    out.front().marks.push_back(ruleMark({0, 0}, {right, 0}, points(0.8), false));
    out.back().marks.push_back(ruleMark({0, out.back().height}, {right, out.back().height}, points(0.8), false));
    return out;
}

BlockSetter::Drawn BlockSetter::drawn(const report::Drawing& d, qreal width) const {
    if (d.width <= 0 || d.height <= 0) return {};
    // A unit is a pixel of 1/96 in.
    const qreal most = points(0.75) * m_enlarged;
    // A drawing is no taller than it has to be in order to be read: there is more to read than it.
    const qreal modest = m_format.largePrint ? most : std::max(points(kModest), room() * 0.25 / d.height);
    Drawn out;
    out.scale = std::min({most, modest, width / d.width, room() * 0.62 / d.height});
    // Where the letters of a wide drawing would be too small to read, it stands along the page.
    const qreal along = std::min({most, room() * 0.86 / d.width, width / d.height});
    if (out.scale < points(kReadable) && along > out.scale * 1.2) {
        out.scale = along;
        out.turned = true;
    }
    out.size = QSizeF(d.width * out.scale, d.height * out.scale);
    if (out.turned) out.size.transpose();
    return out;
}

qreal BlockSetter::leastOf(qreal scale) const { return std::min<qreal>(1, std::max(0.75, points(kModest) * m_enlarged / scale)); }

Strips BlockSetter::set(const report::Figure& f, qreal width, qreal size) {
    Strip s;
    s.above = points(8);
    if (const Drawn d = drawn(f.drawing, width); d.scale > 0) {
        s.marks.push_back({Mark::Figure{std::make_shared<report::Drawing>(f.drawing), {}, d.scale, d.turned}, QRectF(QPointF(), d.size)});
        s.height = d.size.height();
    }
    if (f.caption.empty()) return {std::move(s)};
    LineStyle style;
    style.size = size;
    style.italic = true;
    Strips out{std::move(s)};
    append(out, stripsOf(setLines(m_types, {report::plainText(f.caption)}, width, style), 0, points(2)));
    if (heightOf(out) < room() * 0.9) {
        Strip whole = joined(std::move(out));
        if (const auto* figure = whole.marks.empty() ? nullptr : std::get_if<Mark::Figure>(&whole.marks.front().is)) whole.least = leastOf(figure->scale);
        whole.height += points(3);
        return {std::move(whole)};
    }
    out.front().keepWithNext = true;
    return out;
}

Strips BlockSetter::pair(const report::Figure& left, const report::Figure& right, qreal width, qreal size) {
    const qreal gap = points(10);
    Drawn a = drawn(left.drawing, width), b = drawn(right.drawing, width);
    if (a.scale <= 0 || b.scale <= 0) return {};
    if (a.size.width() + b.size.width() + gap > width) {
        // Both at one scale, if they can still be read.
        const report::Drawing &l = left.drawing, &r = right.drawing;
        const qreal scale = std::min({points(0.75) * m_enlarged, (width - gap) / (l.width + r.width), room() * 0.5 / std::max(l.height, r.height)});
        if (scale < points(kReadable)) return {};
        a = {scale, QSizeF(l.width, l.height) * scale, false};
        b = {scale, QSizeF(r.width, r.height) * scale, false};
    }
    LineStyle style;
    style.size = size;
    style.italic = true;
    Strip s;
    s.above = points(8);
    const qreal foot = std::max(a.size.height(), b.size.height());
    // Both stand on one line, with what they show below them, and share the width as they need it.
    const qreal spare = std::max<qreal>(0, width - gap - a.size.width() - b.size.width()) / 2;
    qreal x = 0;
    for (const auto& [f, d] : {std::pair{&left, &a}, std::pair{&right, &b}}) {
        const qreal own = d->size.width() + spare;
        const QPointF at(x, foot - d->size.height());
        s.marks.push_back({Mark::Figure{std::make_shared<report::Drawing>(f->drawing), at, d->scale, d->turned}, QRectF(at, d->size)});
        qreal y = foot + points(2);
        for (SetLine& line : setLines(m_types, {report::plainText(f->caption)}, own, style)) {
            for (Mark& m : line.marks) {
                m.shift(x, y);
                s.marks.push_back(std::move(m));
            }
            y += line.height;
        }
        s.height = std::max(s.height, std::max(y, foot));
        x += own + gap;
    }
    s.height += points(3);
    s.least = leastOf(std::min(a.scale, b.scale));
    return {std::move(s)};
}

Strips BlockSetter::set(const report::CalcLine& c, qreal width, qreal size) {
    Strips out = blocks(c.calculation, width, size);
    for (const Inlines& r : c.result) append(out, set(report::Paragraph{r}, width, size));
    if (!c.reference.empty()) append(out, set(report::Paragraph{c.reference}, width, kReference * m_enlarged));
    if (!out.empty() && !c.id.empty()) out.front().ids.push_back(c.id);
    return out;
}

Strips BlockSetter::calcRow(const report::CalcLine& c, qreal width) {
    const Columns columns(width);
    Strips middle = blocks(c.calculation, columns.calculation, bodySize());
    if (!middle.empty()) middle.front().above = 0;
    LineStyle small;
    small.size = kReference * m_enlarged;
    LineStyle plain;
    plain.size = bodySize();
    LineStyle apart;
    apart.size = 6;
    Strip reference = columnStrip(m_types, {c.reference}, columns.reference, small);
    // What the whole line comes to is to be seen; letters and other asides below it are small.
    Strips results;
    for (const Inlines& r : c.result) {
        const bool aside = !r.empty() && std::all_of(r.begin(), r.end(), [](const report::Inline& i) { return i.kind == report::Inline::Kind::Faint; });
        append(results, stripsOf(setLines(m_types, r, columns.result, aside ? apart : plain), 0, aside ? 0 : kLineGap));
    }
    Strip result = joined(std::move(results));
    const qreal beside = std::max(reference.height, result.height);
    const qreal above = points(6);
    if (beside > room() * 0.5) {
        // Far too much for a narrow column: one below the other, broken wherever it has to be.
        Strips out = set(c, width, bodySize());
        if (!out.empty()) out.front().above = above;
        return out;
    }
    shift(middle, columns.calculationLeft());
    // A line of a calculation stays whole unless it is very long; then its first part is as tall as what stands beside it.
    const qreal tall = heightOf(middle);
    std::size_t first = middle.size();
    if (tall > room() * m_wholeLines) {
        qreal height = 0;
        for (first = 0; first < middle.size(); ++first) {
            if (first > 0 && height >= beside && !middle[first - 1].keepWithNext) break;
            height += middle[first].height + (first > 0 ? middle[first].above : 0);
        }
        if (height > room() * 0.8) first = 1;
    }
    Strips lead(std::make_move_iterator(middle.begin()), std::make_move_iterator(middle.begin() + static_cast<std::ptrdiff_t>(first)));
    Strip row = joined(std::move(lead));
    row.above = above;
    row.height = std::max(row.height, beside);
    for (Mark& m : reference.marks) row.marks.push_back(std::move(m));
    for (Mark& m : result.marks) {
        m.shift(columns.resultLeft(), 0);
        row.marks.push_back(std::move(m));
    }
    if (!c.id.empty()) row.ids.push_back(c.id);
    Strips out{std::move(row)};
    for (std::size_t i = first; i < middle.size(); ++i) out.push_back(std::move(middle[i]));
    return out;
}

} // namespace spanwright::paper
