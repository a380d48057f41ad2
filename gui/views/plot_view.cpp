// SPDX-License-Identifier: MIT
#include "gui/views/plot_view.h"

#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>

#include <algorithm>
#include <cmath>

#include "engine/units/format.h"
#include "gui/models/text.h"

namespace spanwright::views {

namespace {

constexpr std::size_t kMostCurves = 12;

QString number(double v) { return models::fromUtf8(units::showNumber(v, units::Unit{})); }
QString withUnit(const QString& number, const std::string& unit) { return unit.empty() ? number : number + QLatin1Char(' ') + models::fromUtf8(unit); }

/// Of others: thinner and softer than the member's own.
QPen penOfOther(std::size_t other, const QColor& color) {
    QPen pen(color, 1.2);
    static constexpr Qt::PenStyle kStyles[] = {Qt::DashLine, Qt::DotLine, Qt::DashDotLine, Qt::DashDotDotLine};
    pen.setStyle(kStyles[other % std::size(kStyles)]);
    return pen;
}

QPen penOf(std::size_t curve, const QColor& color) {
    static constexpr Qt::PenStyle kStyles[] = {Qt::SolidLine, Qt::DashLine, Qt::DashDotLine, Qt::DotLine, Qt::DashDotDotLine};
    return {color, curve < 5 ? 1.6 : 1.0, kStyles[curve % std::size(kStyles)]};
}

} // namespace

PlotView::PlotView(QWidget* parent) : QWidget(parent) {
    setMouseTracking(true);
    setFocusPolicy(Qt::StrongFocus);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Preferred);
    setMinimumHeight(150);
}

void PlotView::setPlot(job::PlotView plot, const QString& mark, std::vector<Other> others) {
    m_plot = std::move(plot);
    m_mark = mark;
    m_others.clear();
    for (Other& o : others) {
        // Only what is in the same units can lie on the same axes.
        if (o.plot.xUnit != m_plot.xUnit || o.plot.yUnit != m_plot.yUnit) continue;
        Outline line{o.mark, std::move(o.plot.x), {}, {}};
        for (std::size_t i = 0; i < line.x.size(); ++i) {
            double least = INFINITY, most = -INFINITY;
            for (const job::PlotView::Curve& c : o.plot.curves) {
                if (i >= c.y.size() || !std::isfinite(c.y[i])) continue;
                least = std::min(least, c.y[i]);
                most = std::max(most, c.y[i]);
            }
            line.least.push_back(least <= most ? least : NAN);
            line.most.push_back(least <= most ? most : NAN);
        }
        m_others.push_back(std::move(line));
    }
    // The pointer stays where it was: values change under it.
    if (m_pointer && *m_pointer >= m_plot.x.size()) m_pointer.reset();
    measure();
    setMinimumHeight(sizeHint().height());
    QString said = models::fromUtf8(m_plot.what.empty() ? m_plot.name : m_plot.what);
    if (!mark.isEmpty()) said = tr("%1, %2").arg(mark, said);
    const auto tell = [&](const std::optional<Extreme>& e, const QString& word) {
        if (e)
            said += tr("; %1 %2 at %3")
                        .arg(word, withUnit(number(m_plot.curves[e->curve].y[e->at]), m_plot.yUnit), withUnit(number(m_plot.x[e->at]), m_plot.xUnit));
    };
    tell(m_most, tr("largest"));
    tell(m_least, tr("smallest"));
    if (m_plot.place) said += tr("; found at %1").arg(withUnit(number(*m_plot.place), m_plot.xUnit));
    if (!m_drawable) said += tr("; not computed");
    for (const Outline& o : m_others) said += tr("; over it %1").arg(o.mark);
    setAccessibleName(said);
    update();
}

void PlotView::measure() {
    m_most.reset();
    m_least.reset();
    m_left = m_low = INFINITY;
    m_right = m_high = -INFINITY;
    for (const double x : m_plot.x) {
        if (!std::isfinite(x)) continue;
        m_left = std::min(m_left, x);
        m_right = std::max(m_right, x);
    }
    for (std::size_t c = 0; c < m_plot.curves.size(); ++c) {
        const std::vector<double>& y = m_plot.curves[c].y;
        for (std::size_t i = 0; i < y.size() && i < m_plot.x.size(); ++i) {
            if (!std::isfinite(y[i])) continue;
            if (!m_most || y[i] > m_plot.curves[m_most->curve].y[m_most->at]) m_most = Extreme{c, i};
            if (!m_least || y[i] < m_plot.curves[m_least->curve].y[m_least->at]) m_least = Extreme{c, i};
        }
    }
    m_drawable = m_left <= m_right && m_most.has_value();
    if (!m_drawable) return;
    m_high = std::max(0.0, m_plot.curves[m_most->curve].y[m_most->at]);
    m_low = std::min(0.0, m_plot.curves[m_least->curve].y[m_least->at]);
    // Zero is labelled by its line already.
    if (m_high <= 0) m_most.reset();
    if (m_low >= 0) m_least.reset();
    for (const Outline& o : m_others) {
        for (std::size_t i = 0; i < o.x.size(); ++i) {
            if (!std::isfinite(o.x[i]) || !std::isfinite(o.least[i])) continue;
            m_left = std::min(m_left, o.x[i]);
            m_right = std::max(m_right, o.x[i]);
            m_low = std::min(m_low, o.least[i]);
            m_high = std::max(m_high, o.most[i]);
        }
    }
    if (m_high == m_low) m_high = m_low + 1;
    if (m_left == m_right) m_right = m_left + 1;
}

QSize PlotView::sizeHint() const {
    const int line = fontMetrics().height();
    return {360, line * 10 + static_cast<int>(std::ceil(titleHeight(std::max(width(), 240)))) + legendLines() * line};
}

QString PlotView::title() const {
    const QString what = models::fromUtf8(m_plot.what.empty() ? m_plot.name : m_plot.what);
    return m_mark.isEmpty() ? what : QStringLiteral("%1: %2").arg(m_mark, what);
}

qreal PlotView::titleHeight(int width) const {
    return fontMetrics().boundingRect(QRect(0, 0, std::max(width - 12, 60), 10'000), Qt::TextWordWrap, title()).height();
}

int PlotView::legendLines() const {
    const std::size_t curves = m_plot.curves.size() > 1 ? std::min(m_plot.curves.size(), kMostCurves) : m_others.empty() ? 0 : 1;
    return static_cast<int>(curves + m_others.size());
}

QRectF PlotView::frame() const {
    const QFontMetricsF fm(ink::smallFont(font()));
    const qreal left = std::max(fm.horizontalAdvance(number(m_high)), fm.horizontalAdvance(number(m_low))) + 12;
    const qreal legend = legendLines() * fm.height();
    const qreal top = titleHeight(width()) + fm.height() * 2.2, bottom = fm.height() * 1.6 + legend;
    return QRectF(rect()).adjusted(left + 6, top, -14, -bottom - 4);
}

QPointF PlotView::at(const QRectF& f, double x, double y) const {
    return {f.left() + (x - m_left) / (m_right - m_left) * f.width(), f.top() + (m_high - y) / (m_high - m_low) * f.height()};
}

void PlotView::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    const ink::Palette& p = ink::paletteOf(palette());
    const QFont small = ink::smallFont(font());
    const QFontMetricsF fm(small);
    painter.setPen(p.pencil);
    const qreal titled = titleHeight(width());
    painter.drawText(QRectF(6, 0, width() - 12, titled), Qt::AlignLeft | Qt::TextWordWrap, title());
    if (!m_drawable) {
        painter.setPen(p.softPencil);
        painter.drawText(rect(), Qt::AlignCenter, tr("not computed: there is nothing to draw"));
        return;
    }
    const QRectF f = frame();
    painter.setFont(small);
    painter.setPen(p.softPencil);
    const QString yUnit = models::fromUtf8(m_plot.yUnit);
    painter.drawText(QRectF(6, titled, fm.horizontalAdvance(yUnit) + 4, fm.height()), Qt::AlignLeft, yUnit);
    painter.setPen(QPen(p.rule, 1));
    painter.drawRect(f);
    painter.setPen(QPen(p.pencil, 1));
    painter.drawLine(at(f, m_left, 0), at(f, m_right, 0));

    painter.save();
    painter.setClipRect(f.adjusted(-2, -2, 2, 2));
    paintOutlines(painter, f);
    const std::size_t curves = std::min(m_plot.curves.size(), kMostCurves);
    for (std::size_t c = 0; c < curves; ++c) {
        painter.setPen(penOf(c, p.pencil));
        QPolygonF line;
        const std::vector<double>& y = m_plot.curves[c].y;
        for (std::size_t i = 0; i <= y.size(); ++i) {
            // A curve breaks where it was not computed.
            if (i < y.size() && i < m_plot.x.size() && std::isfinite(y[i])) {
                line << at(f, m_plot.x[i], y[i]);
                continue;
            }
            if (line.size() > 1) painter.drawPolyline(line);
            line.clear();
        }
    }
    if (m_plot.filled && !m_plot.curves.empty()) {
        // What counts is the area: it is hatched down to zero.
        QPolygonF area;
        const std::vector<double>& y = m_plot.curves.front().y;
        for (std::size_t i = 0; i < y.size() && i < m_plot.x.size(); ++i)
            if (std::isfinite(y[i])) area << at(f, m_plot.x[i], y[i]);
        if (area.size() > 1) {
            area << QPointF(area.last().x(), at(f, m_left, 0).y()) << QPointF(area.first().x(), at(f, m_left, 0).y());
            painter.setPen(Qt::NoPen);
            painter.setBrush(QBrush(p.softPencil, Qt::BDiagPattern));
            painter.drawPolygon(area);
            painter.setBrush(Qt::NoBrush);
        }
    }
    if (m_plot.place && *m_plot.place >= m_left && *m_plot.place <= m_right) {
        const qreal x = at(f, *m_plot.place, 0).x();
        painter.setPen(QPen(p.pencil, 1.2, Qt::DashLine));
        painter.drawLine(QPointF(x, f.top()), QPointF(x, f.bottom()));
    }
    painter.restore();

    painter.setFont(small);
    painter.setPen(p.softPencil);
    const auto side = [&](double v) {
        painter.drawText(QRectF(0, at(f, m_left, v).y() - fm.height() / 2, f.left() - 5, fm.height()), Qt::AlignRight | Qt::AlignVCenter, number(v));
    };
    side(m_high);
    side(m_low);
    if (m_low < 0 && m_high > 0 && f.height() * m_high / (m_high - m_low) > fm.height() && -f.height() * m_low / (m_high - m_low) > fm.height()) side(0);
    const QRectF below(f.left(), f.bottom() + 2, f.width(), fm.height());
    painter.drawText(below, Qt::AlignLeft, number(m_left));
    painter.drawText(below, Qt::AlignRight, number(m_right));
    painter.drawText(below, Qt::AlignHCenter, withUnit(models::fromUtf8(m_plot.xName) + (m_plot.xUnit.empty() ? QString() : tr(" in")), m_plot.xUnit));

    const auto extreme = [&](const std::optional<Extreme>& e, bool above) {
        if (!e) return;
        const double y = m_plot.curves[e->curve].y[e->at];
        const QPointF spot = at(f, m_plot.x[e->at], y);
        painter.setPen(p.pencil);
        painter.setBrush(p.pencil);
        painter.drawEllipse(spot, 2.5, 2.5);
        const QString text = tr("%1 at %2").arg(withUnit(number(y), m_plot.yUnit), withUnit(number(m_plot.x[e->at]), m_plot.xUnit));
        const qreal w = fm.horizontalAdvance(text) + 4;
        const qreal x = std::clamp(spot.x() - w / 2, f.left() - 2, std::max(f.left() - 2, f.right() - w));
        const qreal top = above ? spot.y() - fm.height() - 4 : std::min(spot.y() + 4, f.bottom() - fm.height());
        painter.drawText(QRectF(x, top, w, fm.height()), Qt::AlignCenter, text);
        painter.setBrush(Qt::NoBrush);
    };
    extreme(m_most, true);
    extreme(m_least, false);

    paintLegend(painter, f, below.bottom() + 2);
    if (m_pointer) {
        const qreal x = at(f, m_plot.x[*m_pointer], 0).x();
        painter.setPen(QPen(p.sepia, 1));
        painter.drawLine(QPointF(x, f.top()), QPointF(x, f.bottom()));
        painter.setPen(p.sepia);
        const qreal from = fm.horizontalAdvance(yUnit) + 14;
        painter.drawText(QRectF(from, titled, width() - from - 8, fm.height()), Qt::AlignRight,
                         fm.elidedText(readOut(), Qt::ElideRight, width() - static_cast<int>(from) - 8));
    }
    if (hasFocus()) {
        painter.setPen(QPen(p.sepia, 2));
        painter.setBrush(Qt::NoBrush);
        painter.drawRect(QRectF(rect()).adjusted(1, 1, -1, -1));
    }
}

void PlotView::paintOutlines(QPainter& painter, const QRectF& f) const {
    const ink::Palette& p = ink::paletteOf(palette());
    for (std::size_t o = 0; o < m_others.size(); ++o) {
        painter.setPen(penOfOther(o, p.softPencil));
        for (const std::vector<double>* side : {&m_others[o].least, &m_others[o].most}) {
            QPolygonF line;
            for (std::size_t i = 0; i <= side->size(); ++i) {
                if (i < side->size() && std::isfinite((*side)[i])) {
                    line << at(f, m_others[o].x[i], (*side)[i]);
                    continue;
                }
                if (line.size() > 1) painter.drawPolyline(line);
                line.clear();
            }
        }
    }
}

void PlotView::paintLegend(QPainter& painter, const QRectF& f, qreal top) const {
    if (legendLines() == 0) return;
    const ink::Palette& p = ink::paletteOf(palette());
    const QFontMetricsF fm(painter.font());
    qreal y = top;
    const auto entry = [&](const QPen& pen, const QString& text) {
        painter.setPen(pen);
        painter.drawLine(QPointF(f.left(), y + fm.height() / 2), QPointF(f.left() + fm.height() * 2, y + fm.height() / 2));
        painter.setPen(p.pencil);
        const qreal from = f.left() + fm.height() * 2.5;
        painter.drawText(QPointF(from, y + fm.ascent()), fm.elidedText(text, Qt::ElideRight, width() - from - 4));
        y += fm.height();
    };
    const std::size_t curves = std::min(m_plot.curves.size(), kMostCurves);
    for (std::size_t c = 0; c < curves && (curves > 1 || !m_others.empty()); ++c) {
        const QString label = models::fromUtf8(m_plot.curves[c].label);
        entry(penOf(c, p.pencil), m_others.empty() ? label : label.isEmpty() ? m_mark : tr("%1, %2").arg(m_mark, label));
    }
    for (std::size_t o = 0; o < m_others.size(); ++o) entry(penOfOther(o, p.softPencil), m_others[o].mark);
}

QString PlotView::readOut() const {
    if (!m_pointer || *m_pointer >= m_plot.x.size()) return {};
    QStringList parts{QStringLiteral("%1 = %2").arg(models::fromUtf8(m_plot.xName), withUnit(number(m_plot.x[*m_pointer]), m_plot.xUnit))};
    double low = INFINITY, high = -INFINITY;
    for (const job::PlotView::Curve& c : m_plot.curves) {
        if (*m_pointer >= c.y.size() || !std::isfinite(c.y[*m_pointer])) continue;
        low = std::min(low, c.y[*m_pointer]);
        high = std::max(high, c.y[*m_pointer]);
    }
    if (!(low <= high))
        parts << tr("not computed");
    else if (low == high)
        parts << withUnit(number(low), m_plot.yUnit);
    else
        parts << tr("%1 to %2").arg(number(low), withUnit(number(high), m_plot.yUnit));
    QString out = parts.join(QStringLiteral(":  "));
    // Of the others what they have at the same place, if they reach it.
    const double x = m_plot.x[*m_pointer];
    for (const Outline& o : m_others) {
        std::optional<std::size_t> best;
        for (std::size_t i = 0; i < o.x.size(); ++i)
            if (std::isfinite(o.x[i]) && (!best || std::fabs(o.x[i] - x) < std::fabs(o.x[*best] - x))) best = i;
        const double step = o.x.size() > 1 ? (o.x.back() - o.x.front()) / static_cast<double>(o.x.size() - 1) : 0;
        if (!best || std::fabs(o.x[*best] - x) > step || !std::isfinite(o.least[*best])) continue;
        const double low0 = o.least[*best], high0 = o.most[*best];
        out += tr(";  %1 %2").arg(o.mark, withUnit(low0 == high0 ? number(low0) : tr("%1 to %2").arg(number(low0), number(high0)), m_plot.yUnit));
    }
    return out;
}

void PlotView::setPointer(std::optional<std::size_t> pointer) {
    if (pointer == m_pointer) return;
    m_pointer = pointer;
    setAccessibleDescription(readOut());
    update();
}

void PlotView::mouseMoveEvent(QMouseEvent* event) {
    if (!m_drawable) return;
    const QRectF f = frame();
    const double x = m_left + (event->position().x() - f.left()) / f.width() * (m_right - m_left);
    std::size_t best = 0;
    for (std::size_t i = 1; i < m_plot.x.size(); ++i)
        if (std::fabs(m_plot.x[i] - x) < std::fabs(m_plot.x[best] - x)) best = i;
    setPointer(best);
}

void PlotView::leaveEvent(QEvent*) { setPointer(std::nullopt); }

void PlotView::keyPressEvent(QKeyEvent* event) {
    if (!m_drawable || (event->key() != Qt::Key_Left && event->key() != Qt::Key_Right)) {
        QWidget::keyPressEvent(event);
        return;
    }
    const std::size_t last = m_plot.x.size() - 1;
    if (!m_pointer)
        setPointer(event->key() == Qt::Key_Right ? 0 : last);
    else if (event->key() == Qt::Key_Right)
        setPointer(std::min(*m_pointer + 1, last));
    else
        setPointer(*m_pointer > 0 ? *m_pointer - 1 : 0);
}

void PlotView::changeEvent(QEvent* event) {
    if (event->type() == QEvent::FontChange) setMinimumHeight(sizeHint().height());
    QWidget::changeEvent(event);
}

void PlotView::focusInEvent(QFocusEvent*) { update(); }
void PlotView::focusOutEvent(QFocusEvent*) {
    setPointer(std::nullopt);
    update();
}

} // namespace spanwright::views
