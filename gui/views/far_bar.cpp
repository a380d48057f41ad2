// SPDX-License-Identifier: MIT
#include "gui/views/far_bar.h"

#include <QPainter>

#include <algorithm>

#include "gui/ink/palette.h"
#include "gui/models/text.h"

namespace spanwright::views {

using models::fromUtf8;

FarBar::FarBar(QWidget* parent) : QWidget(parent) { setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed); }

void FarBar::show(const trial::Far& far, bool holds) {
    m_far = far;
    m_holds = holds;
    QStringList said;
    for (const trial::Stretch& s : far.far.stretches) said << tr("passes from %1 to %2").arg(fromUtf8(far.shown(s.from)), fromUtf8(far.shown(s.to)));
    if (!far.what.nowShown.empty()) said << tr("now %1").arg(fromUtf8(far.what.nowShown));
    setAccessibleName(holds ? said.join(QStringLiteral("; ")) : tr("Out of date"));
    update();
}

void FarBar::showNothing() {
    m_far.reset();
    setAccessibleName(tr("Nothing to show"));
    update();
}

QSize FarBar::sizeHint() const { return {260, static_cast<int>(QFontMetrics(ink::smallFont(font())).height() * 3.6)}; }

void FarBar::paintEvent(QPaintEvent*) {
    if (!m_far || !(m_far->far.range.to > m_far->far.range.from)) return;
    const trial::Far& f = *m_far;
    QPainter p(this);
    p.setRenderHint(QPainter::Antialiasing);
    const ink::Palette& ours = ink::paletteOf(palette());
    const QFont small = ink::smallFont(font());
    const QFontMetricsF fm(small);
    p.setFont(small);
    const QRectF bar(4.5, fm.height() * 1.25 + 0.5, width() - 9, fm.height());
    const double from = f.far.range.from, to = f.far.range.to;
    const auto x = [&](double v) { return bar.left() + bar.width() * std::clamp((v - from) / (to - from), 0.0, 1.0); };
    const QColor ink = m_holds ? ours.pencil : ours.softPencil;
    /// Words about a place, kept within the widget; gives what they cover.
    const auto words = [&](double at, double top, const QString& text, double notBefore) {
        const double wide = fm.horizontalAdvance(text);
        const double left = std::max(std::clamp(x(at) - wide / 2, 0.0, std::max(0.0, width() - wide)), notBefore);
        if (left + wide > width() + 0.5) return notBefore;
        p.setPen(ink);
        p.drawText(QRectF(left, top, wide + 1, fm.height()), Qt::AlignLeft | Qt::AlignVCenter, text);
        return left + wide + fm.averageCharWidth();
    };
    p.setPen(QPen(ink, 1));
    if (m_holds) {
        const auto fails = [&](double a, double b) {
            if (x(b) - x(a) < 0.5) return;
            p.fillRect(QRectF(x(a), bar.top(), x(b) - x(a), bar.height()), QBrush(ours.pencil, Qt::BDiagPattern));
        };
        double at = from;
        for (const trial::Stretch& s : f.far.stretches) {
            fails(at, s.from);
            at = s.to;
        }
        fails(at, to);
        for (const trial::Stretch& s : f.far.stretches)
            for (const double end : {s.from, s.to}) p.drawLine(QPointF(x(end), bar.top()), QPointF(x(end), bar.bottom()));
    }
    p.setBrush(Qt::NoBrush);
    p.drawRect(bar);
    if (f.what.now) {
        p.setPen(QPen(ink, 2.4, Qt::SolidLine, Qt::FlatCap));
        p.drawLine(QPointF(x(*f.what.now), bar.top() - fm.height() * 0.2), QPointF(x(*f.what.now), bar.bottom() + fm.height() * 0.15));
        (void)words(*f.what.now, 0, tr("now %1").arg(fromUtf8(f.what.nowShown)), 0);
    }
    if (!m_holds) return;
    double free = 0;
    for (const trial::Stretch& s : f.far.stretches) {
        free = words(s.from, bar.bottom() + fm.height() * 0.2, fromUtf8(f.shown(s.from)), free);
        free = words(s.to, bar.bottom() + fm.height() * 0.2, fromUtf8(f.shown(s.to)), free);
    }
}

} // namespace spanwright::views
