// SPDX-License-Identifier: MIT
#include "gui/paper/page_book.h"

#include <QCoreApplication>
#include <QPainter>

#include <algorithm>

#include "engine/report/clean.h"
#include "gui/paper/block_setter.h"

namespace spanwright::paper {

namespace {

constexpr qreal kSmall = 6.5; ///< points, of what repeats on each page
constexpr qreal kTop = points(9);
constexpr std::size_t kMostHeadLines = 5;
constexpr qreal kSmallPrint = 1.2;  ///< against the usual letters
constexpr qreal kLeastPrint = 0.95; ///< read at arm's length, but no smaller

QString words(const char* text) { return QCoreApplication::translate("paper", text); }

Mark textAt(Types& types, Voice voice, qreal size, const QString& text, QPointF base, bool faint, bool toTheLeft = false) {
    Types::Face& face = types.face(voice, size);
    const qreal wide = face.width(text);
    if (toTheLeft) base.rx() -= wide;
    return {Mark::Text{face.font, text, base, faint}, QRectF(base.x(), base.y() - face.ascent, wide, face.ascent + face.descent)};
}

} // namespace

PageBook::PageBook(const report::Document& document, const PageFormat& format) : m_format(format) {
    m_format.largePrint = document.largePrint;
    const auto text = [](const std::string& s) { return QString::fromStdString(report::cleaned(s)); };
    m_title = text(document.title);
    m_about = {text(document.author), document.fingerprint.empty() ? QString() : words("inputs %1").arg(text(document.fingerprint)), text(document.date)};
    BlockSetter setter(m_types, m_format);
    for (const report::Section& s : document.sections) {
        const Strip head = headOf(document, s);
        qreal enlarged = m_format.enlarged();
        if (s.smallPrint) enlarged = std::min(enlarged, kSmallPrint);
        Strips strips = setter.section(s, enlarged);
        if (s.onePage) {
            // Step by step smaller; what does not fit even in the smallest letters keeps those it had.
            const auto fits = [&](const Strips& set) { return head.height + heightOf(set) <= m_format.body().height(); };
            for (qreal size = enlarged; !fits(strips) && size > kLeastPrint; size -= 0.05) {
                Strips smaller = setter.section(s, size - 0.05);
                if (fits(smaller)) strips = std::move(smaller);
            }
        }
        fill(s, std::move(strips), head);
    }
    foot(document);
}

Strip PageBook::headOf(const report::Document& d, const report::Section& s) {
    const QRectF body = m_format.body();
    Strip out;
    qreal x = 0;
    if (!s.mark.empty()) {
        // The mark in a box of its own, large enough to leaf through pages by.
        Types::Face& face = m_types.face(Voice::Strong, 10);
        LineStyle style;
        style.size = 10;
        style.voice = Voice::Strong;
        const std::vector<SetLine> lines = setLines(m_types, {report::plainText(s.mark)}, body.width() * 0.25, style);
        qreal wide = 0, y = points(2);
        for (SetLine line : lines) {
            wide = std::max(wide, line.width);
            if (y > points(2) + 2 * face.ascent) break;
            for (Mark& m : line.marks) {
                m.shift(points(4), y);
                out.marks.push_back(std::move(m));
            }
            y += line.height;
        }
        y += points(2);
        const QRectF box(0, 0, wide + points(8), y);
        out.marks.push_back(ruleMark(box.topLeft(), box.topRight(), points(0.8), false));
        out.marks.push_back(ruleMark(box.bottomLeft(), box.bottomRight(), points(0.8), false));
        out.marks.push_back(ruleMark(box.topLeft(), box.bottomLeft(), points(0.8), false));
        out.marks.push_back(ruleMark(box.topRight(), box.bottomRight(), points(0.8), false));
        out.height = box.height();
        x = box.width() + points(7);
    }
    LineStyle style;
    style.size = kSmall;
    std::vector<SetLine> lines = setLines(m_types, {report::strongText(d.identity)}, body.width() - x, style);
    std::vector<SetLine> more = setLines(m_types, {report::faintText(s.running)}, body.width() - x, style);
    if (lines.size() > 2) lines.resize(2);
    if (more.size() > kMostHeadLines) {
        more.resize(kMostHeadLines - 1);
        for (SetLine& l : setLines(m_types, {report::faintText(words("... the rest stands on the cover").toStdString())}, body.width() - x, style))
            more.push_back(std::move(l));
    }
    for (SetLine& l : more) lines.push_back(std::move(l));
    qreal y = 0;
    for (SetLine& l : lines) {
        for (Mark& m : l.marks) {
            m.shift(x, y);
            out.marks.push_back(std::move(m));
        }
        y += l.height;
    }
    out.height = std::max(out.height, y) + points(4);
    out.marks.push_back(ruleMark({0, out.height}, {body.width(), out.height}, points(0.8), false));
    if (s.calculation) {
        const Columns c(body.width());
        const Types::Face& face = m_types.face(Voice::Plain, kSmall);
        const qreal base = out.height + points(2) + face.ascent;
        const auto name = [&](qreal at, const char* text) { out.marks.push_back(textAt(m_types, Voice::Plain, kSmall, words(text), {at, base}, true)); };
        name(0, "reference");
        name(c.calculationLeft(), "calculation");
        name(c.resultLeft(), "result");
        out.height = base + face.descent + points(2);
        out.marks.push_back(ruleMark({0, out.height}, {body.width(), out.height}, points(0.4), true));
    }
    out.height += kTop;
    return out;
}

void PageBook::fill(const report::Section& s, Strips strips, const Strip& head) {
    const QRectF body = m_format.body();
    qreal y = 0;
    const auto begin = [&] {
        Page page;
        page.mark = s.mark;
        for (Mark m : head.marks) {
            m.shift(body.left(), body.top());
            page.furniture.push_back(std::move(m));
        }
        m_pages.push_back(std::move(page));
        y = head.height;
    };
    const auto place = [&](Strip strip) {
        Page& page = m_pages.back();
        const bool top = page.strips.empty();
        if (top && strip.head && !strip.isHead) {
            page.strips.emplace_back(*strip.head, y);
            y += strip.head->height;
        }
        y += top ? 0 : strip.above;
        const Place here{pageCount(), body.top() + y};
        for (const std::string& id : strip.ids) m_places.try_emplace(id, here);
        if (strip.depth >= 0 && !strip.bookmark.isEmpty()) m_bookmarks.push_back({strip.depth, strip.bookmark, here});
        const qreal height = strip.height;
        page.strips.emplace_back(std::move(strip), y);
        y += height;
    };
    begin();
    for (std::size_t from = 0; from < strips.size();) {
        std::size_t end = from + 1;
        while (end < strips.size() && strips[end - 1].keepWithNext) ++end;
        qreal tall = 0;
        for (std::size_t i = from; i < end; ++i) tall += strips[i].height + (i > from ? strips[i].above : 0);
        const qreal head0 = strips[from].head && !strips[from].isHead ? strips[from].head->height : 0;
        const bool fits = m_pages.back().strips.empty() ? y + head0 + tall <= body.height() : y + strips[from].above + tall <= body.height();
        if (!fits && !m_pages.back().strips.empty()) {
            const bool fitsAlone = head.height + head0 + tall <= body.height();
            // What fits on no page is broken where it has to be, and begins where it stands if a good part of it fits there.
            if (fitsAlone || y > body.height() * 0.7) begin();
        }
        for (; from < end; ++from) {
            Strip& strip = strips[from];
            if (!m_pages.back().strips.empty() && y + strip.above + strip.height > body.height()) begin();
            place(std::move(strip));
        }
    }
}

void PageBook::foot(const report::Document& d) {
    const QRectF body = m_format.body(), margin = m_format.remarks();
    const qreal line = body.bottom() + points(6);
    const Types::Face& face = m_types.face(Voice::Plain, kSmall);
    const QString inputs = words("inputs %1").arg(QString::fromStdString(report::cleaned(d.fingerprint)));
    for (std::size_t i = 0; i < m_pages.size(); ++i) {
        std::vector<Mark>& marks = m_pages[i].furniture;
        marks.push_back(ruleMark({body.left(), line}, {body.right(), line}, points(0.8), false));
        const qreal base = line + points(3) + face.ascent;
        marks.push_back(textAt(m_types, Voice::Plain, kSmall, inputs, {body.left(), base}, false));
        marks.push_back(textAt(m_types, Voice::Strong, kSmall, words("page %1 of %2").arg(i + 1).arg(m_pages.size()), {body.right(), base}, false, true));
        if (margin.isEmpty()) continue;
        const qreal x = margin.left() - millimetres(1.5);
        marks.push_back(
            {Mark::Line{{x, margin.top()}, {x, margin.bottom()}, points(0.6), Mark::Line::Stroke::Dotted, true}, QRectF(x, margin.top(), 0, margin.height())});
        marks.push_back(textAt(m_types, Voice::Plain, kSmall, words("remarks"), {margin.left(), margin.top() + face.ascent}, true));
    }
}

int PageBook::pageOf(const std::string& id) const {
    const auto found = m_places.find(id);
    return found == m_places.end() ? 0 : found->second.page;
}

std::vector<PageBook::Link> PageBook::links(int page) const {
    std::vector<Link> out;
    for (const Mark& m : marks(page)) {
        const auto* number = std::get_if<Mark::PageNumber>(&m.is);
        const auto found = m_places.find(number != nullptr ? number->target : m.target);
        if (found != m_places.end()) out.push_back({m.extent, found->second});
    }
    return out;
}

void PageBook::paint(QPainter& painter, int page) const {
    const PageOf look = [](const void* book, const std::string& id) { return static_cast<const PageBook*>(book)->pageOf(id); };
    const Page& p = m_pages[static_cast<std::size_t>(page)];
    painter.save();
    for (const Mark& m : p.furniture) paper::paint(painter, m, look, this);
    const QPointF origin = m_format.body().topLeft();
    for (const auto& [strip, y] : p.strips) {
        painter.save();
        painter.translate(origin + QPointF(0, y));
        for (const Mark& m : strip.marks) paper::paint(painter, m, look, this);
        painter.restore();
    }
    painter.restore();
}

std::vector<Mark> PageBook::marks(int page) const {
    const Page& p = m_pages[static_cast<std::size_t>(page)];
    std::vector<Mark> out = p.furniture;
    const QPointF origin = m_format.body().topLeft();
    for (const auto& [strip, y] : p.strips) {
        for (Mark m : strip.marks) {
            m.shift(origin.x(), origin.y() + y);
            out.push_back(std::move(m));
        }
    }
    return out;
}

} // namespace spanwright::paper
