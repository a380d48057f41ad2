// SPDX-License-Identifier: MIT
#include "gui/paper/strip.h"

#include <QFontMetricsF>
#include <QPainter>

#include <algorithm>

#include "gui/ink/drawing_paint.h"
#include "gui/paper/types.h"

namespace spanwright::paper {

namespace {

struct Shift {
    QPointF by;
    void operator()(Mark::Text& m) const { m.base += by; }
    void operator()(Mark::Line& m) const {
        m.from += by;
        m.to += by;
    }
    void operator()(Mark::Formula& m) const { m.topLeft += by; }
    void operator()(Mark::Stamp& m) const { m.place.translate(by); }
    void operator()(Mark::Figure& m) const { m.topLeft += by; }
    void operator()(Mark::PageNumber& m) const { m.base += by; }
};

struct Painting {
    QPainter& p;
    PageOf pageOf;
    const void* pages;

    void operator()(const Mark::Text& m) const {
        p.setFont(m.font);
        p.setPen(m.faint ? printPalette().softPencil : printPalette().pencil);
        p.drawText(m.base, m.text);
    }
    void operator()(const Mark::Line& m) const {
        QPen pen(m.faint ? printPalette().rule : printPalette().pencil, m.width);
        if (m.stroke == Mark::Line::Stroke::Dotted) pen.setDashPattern({1, 3});
        pen.setCapStyle(Qt::FlatCap);
        p.setPen(pen);
        p.drawLine(m.from, m.to);
    }
    void operator()(const Mark::Formula& m) const {
        p.save();
        p.translate(m.topLeft);
        p.scale(m.scale, m.scale);
        m.layout->draw(p, {}, printPalette().pencil, printPalette().softPencil);
        p.restore();
    }
    void operator()(const Mark::Stamp& m) const { ink::drawStamp(p, m.place, m.font, m.word, m.stamp, printPalette()); }
    void operator()(const Mark::Figure& m) const {
        p.save();
        p.translate(m.topLeft);
        if (m.turned) {
            p.translate(0, m.drawing->width * m.scale);
            p.rotate(-90);
        }
        p.scale(m.scale, m.scale);
        p.setFont(baseFont(Voice::Plain));
        ink::paintDrawing(p, *m.drawing, printPalette().pencil);
        p.restore();
    }
    void operator()(const Mark::PageNumber& m) const {
        const int page = pageOf(pages, m.target);
        if (page == 0) return;
        const QString text = QString::number(page);
        p.setFont(m.font);
        p.setPen(printPalette().pencil);
        p.drawText(m.base - QPointF(QFontMetricsF(m.font).horizontalAdvance(text), 0), text);
    }
};

} // namespace

void Mark::shift(qreal dx, qreal dy) {
    extent.translate(dx, dy);
    std::visit(Shift{QPointF(dx, dy)}, is);
}

qreal heightOf(const Strips& strips) {
    qreal out = 0;
    for (std::size_t i = 0; i < strips.size(); ++i) out += strips[i].height + (i > 0 ? strips[i].above : 0);
    return out;
}

void shift(Strips& strips, qreal dx) {
    for (Strip& s : strips) {
        for (Mark& m : s.marks) m.shift(dx, 0);
        if (s.head) {
            // Rows of one table share their head: each gets its own only if it is moved.
            Strip head = *s.head;
            for (Mark& m : head.marks) m.shift(dx, 0);
            s.head = std::make_shared<const Strip>(std::move(head));
        }
    }
}

Strip joined(Strips strips) {
    Strip out;
    for (std::size_t i = 0; i < strips.size(); ++i) {
        Strip& s = strips[i];
        if (i == 0)
            out.above = s.above;
        else
            out.height += s.above;
        for (Mark& m : s.marks) {
            m.shift(0, out.height);
            out.marks.push_back(std::move(m));
        }
        for (std::string& id : s.ids) out.ids.push_back(std::move(id));
        out.height += s.height;
    }
    return out;
}

Strip shrunk(Strip strip, qreal by) {
    if (by >= 1) return strip;
    qreal foot = 0;
    for (const Mark& m : strip.marks)
        if (std::holds_alternative<Mark::Figure>(m.is)) foot = std::max(foot, m.extent.bottom());
    const qreal up = foot * (1 - by);
    for (Mark& m : strip.marks) {
        if (auto* figure = std::get_if<Mark::Figure>(&m.is)) {
            figure->scale *= by;
            figure->topLeft.ry() *= by;
            m.extent = QRectF(figure->topLeft, m.extent.size() * by);
        } else
            m.shift(0, -up);
    }
    strip.height -= up;
    return strip;
}

void keepTogether(Strips& strips) {
    for (std::size_t i = 0; i + 1 < strips.size(); ++i) strips[i].keepWithNext = true;
}

void paint(QPainter& painter, const Mark& mark, PageOf pageOf, const void* pages) { std::visit(Painting{painter, pageOf, pages}, mark.is); }

} // namespace spanwright::paper
