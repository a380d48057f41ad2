// SPDX-License-Identifier: MIT
#include "gui/app/dock_title.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QPainter>
#include <QToolButton>

#include "gui/ink/palette.h"

namespace spanwright::app {

DockTitle::DockTitle(QDockWidget* dock) : QWidget(dock), m_name(new QLabel(dock->windowTitle(), this)) {
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(8, 3, 4, 3);
    row->addWidget(m_name, 1);
    auto* close = new QToolButton(this);
    close->setText(QStringLiteral("\u00D7"));
    close->setAutoRaise(true);
    close->setAccessibleName(tr("Close %1").arg(dock->windowTitle()));
    close->setToolTip(close->accessibleName());
    connect(close, &QToolButton::clicked, dock, &QDockWidget::close);
    row->addWidget(close);
    connect(dock, &QDockWidget::windowTitleChanged, m_name, &QLabel::setText);
}

void DockTitle::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    const ink::Palette& p = ink::paletteOf(palette());
    painter.fillRect(rect(), p.card);
    painter.setPen(QPen(p.rule, 1));
    painter.drawLine(rect().bottomLeft(), rect().bottomRight());
}

} // namespace spanwright::app
