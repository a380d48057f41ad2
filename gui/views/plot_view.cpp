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

void PlotView::setPlot(job::PlotView plot, const QString& mark) {
    m_plot = std::move(plot);
    m_mark = mark;
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
    if (!m_drawable) said += tr("; not computed");
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
    if (m_high == m_low) m_high = m_low + 1;
    if (m_left == m_right) m_right = m_left + 1;
}

QSize PlotView::sizeHint() const {
    const int line = fontMetrics().height();
    const auto curves = static_cast<int>(std::min(m_plot.curves.size(), kMostCurves));
    return {360, line * 11 + (curves > 1 ? curves * line : 0)};
}

QRectF PlotView::frame() const {
    const QFontMetricsF fm(ink::smallFont(font()));
    const qreal left = std::max(fm.horizontalAdvance(number(m_high)), fm.horizontalAdvance(number(m_low))) + 12;
    const auto curves = static_cast<qreal>(std::min(m_plot.curves.size(), kMostCurves));
    const qreal legend = m_plot.curves.size() > 1 ? curves * fm.height() : 0;
    const qreal top = fontMetrics().height() * 2.4, bottom = fm.height() * 1.6 + legend;
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
    const QString what = models::fromUtf8(m_plot.what.empty() ? m_plot.name : m_plot.what);
    painter.setPen(p.pencil);
    const QString title = m_mark.isEmpty() ? what : QStringLiteral("%1: %2").arg(m_mark, what);
    painter.drawText(QRectF(6, 0, width() - 12, fontMetrics().height()), Qt::AlignLeft, fontMetrics().elidedText(title, Qt::ElideRight, width() - 12));
    if (!m_drawable) {
        painter.setPen(p.softPencil);
        painter.drawText(rect(), Qt::AlignCenter, tr("not computed: there is nothing to draw"));
        return;
    }
    const QRectF f = frame();
    painter.setFont(small);
    painter.setPen(p.softPencil);
    painter.drawText(QRectF(6, fontMetrics().height(), 200, fm.height()), Qt::AlignLeft, models::fromUtf8(m_plot.yUnit));
    painter.setPen(QPen(p.rule, 1));
    painter.drawRect(f);
    painter.setPen(QPen(p.pencil, 1));
    painter.drawLine(at(f, m_left, 0), at(f, m_right, 0));

    painter.save();
    painter.setClipRect(f.adjusted(-2, -2, 2, 2));
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

    if (m_plot.curves.size() > 1) {
        qreal y = below.bottom() + 2;
        for (std::size_t c = 0; c < curves; ++c, y += fm.height()) {
            painter.setPen(penOf(c, p.pencil));
            painter.drawLine(QPointF(f.left(), y + fm.height() / 2), QPointF(f.left() + 34, y + fm.height() / 2));
            painter.setPen(p.pencil);
            painter.drawText(QPointF(f.left() + 42, y + fm.ascent()), models::fromUtf8(m_plot.curves[c].label));
        }
    }
    if (m_pointer) {
        const qreal x = at(f, m_plot.x[*m_pointer], 0).x();
        painter.setPen(QPen(p.sepia, 1));
        painter.drawLine(QPointF(x, f.top()), QPointF(x, f.bottom()));
        painter.setPen(p.sepia);
        painter.drawText(QRectF(60, fontMetrics().height(), width() - 70, fm.height()), Qt::AlignRight, fm.elidedText(readOut(), Qt::ElideRight, width() - 70));
    }
    if (hasFocus()) {
        painter.setPen(QPen(p.sepia, 2));
        painter.setBrush(Qt::NoBrush);
        painter.drawRect(QRectF(rect()).adjusted(1, 1, -1, -1));
    }
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
    return parts.join(QStringLiteral(":  "));
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
