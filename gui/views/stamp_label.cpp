// SPDX-License-Identifier: MIT
#include "gui/views/stamp_label.h"

#include <QPainter>

#include "engine/units/format.h"
#include "gui/models/text.h"

namespace spanwright::views {

StampLabel::StampLabel(QWidget* parent) : QWidget(parent) { setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Fixed); }

void StampLabel::show(ink::Stamp stamp, const QString& word, std::optional<double> utilisation) {
    m_stamp = stamp;
    m_word = word;
    m_utilisation = utilisation;
    m_number = utilisation ? models::fromUtf8(units::showUtilisation(*utilisation)) : QString();
    setAccessibleName(m_number.isEmpty() ? word : tr("%1, utilisation %2").arg(word, m_number));
    setVisible(!word.isEmpty());
    updateGeometry();
    update();
}

QSize StampLabel::sizeHint() const {
    const QSizeF box = ink::stampSize(font(), m_word, m_stamp);
    return {static_cast<int>(box.width()) + (m_utilisation ? fontMetrics().height() * 6 : 0), static_cast<int>(box.height()) + 10};
}

void StampLabel::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    const ink::Palette& p = ink::paletteOf(palette());
    const QSizeF box = ink::stampSize(font(), m_word, m_stamp);
    ink::drawStamp(painter, QRectF(0, 0, box.width(), height()), font(), m_word, m_stamp, p);
    if (!m_utilisation) return;
    const qreal x = box.width() + 14, width = fontMetrics().height() * 4.5;
    painter.setPen(p.pencil);
    painter.drawText(QRectF(x, 0, width, height() * 0.68), Qt::AlignLeft | Qt::AlignVCenter, m_number);
    ink::drawRuler(painter, QRectF(x, height() * 0.62, width, height() * 0.3), *m_utilisation, p);
}

} // namespace spanwright::views
