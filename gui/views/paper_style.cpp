// SPDX-License-Identifier: MIT
#include "gui/views/paper_style.h"

#include <QPainter>
#include <QStyleFactory>
#include <QStyleOption>

#include "gui/ink/palette.h"

namespace spanwright::views {

PaperStyle::PaperStyle() : QProxyStyle(QStyleFactory::create(QStringLiteral("Fusion"))) {}

void PaperStyle::drawPrimitive(PrimitiveElement element, const QStyleOption* option, QPainter* painter, const QWidget* widget) const {
    QProxyStyle::drawPrimitive(element, option, painter, widget);
    const ink::Palette& p = ink::paletteOf(option->palette);
    if (!p.dark) return;
    // Where the keys are, the outline is Fusion's own, in sepia.
    const bool field = element == PE_FrameLineEdit && (option->state & State_HasFocus) == 0;
    if (!field && element != PE_IndicatorCheckBox && element != PE_IndicatorRadioButton) return;
    painter->save();
    painter->setRenderHint(QPainter::Antialiasing);
    painter->setPen(QPen((option->state & State_Enabled) != 0 ? p.softPencil : p.rule, 1));
    painter->setBrush(Qt::NoBrush);
    const QRectF at = QRectF(option->rect).adjusted(0.5, 0.5, -0.5, -0.5);
    if (element == PE_IndicatorRadioButton)
        painter->drawEllipse(at);
    else
        painter->drawRoundedRect(at, 2, 2);
    painter->restore();
}

} // namespace spanwright::views
