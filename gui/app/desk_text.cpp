// SPDX-License-Identifier: MIT
// The text beside the grid: where it stands, and how it and the grid follow each other.
#include <QDockWidget>

#include <utility>

#include "gui/app/desk_window.h"
#include "gui/app/dock_title.h"
#include "gui/editor/text_panel.h"
#include "gui/editor/text_view.h"
#include "gui/views/grid_view.h"

namespace spanwright::app {

void DeskWindow::buildText() {
    m_text = new editor::TextPanel(*m_session, this);
    m_textDock = new QDockWidget(tr("Text"), m_inner);
    m_textDock->setObjectName(QStringLiteral("text"));
    m_textDock->setWidget(m_text);
    m_textDock->setTitleBarWidget(new DockTitle(m_textDock));
    m_textDock->setFeatures(QDockWidget::DockWidgetClosable | QDockWidget::DockWidgetMovable);
    m_inner->addDockWidget(Qt::BottomDockWidgetArea, m_textDock);
    m_inner->setCorner(Qt::BottomRightCorner, Qt::RightDockWidgetArea);
    m_inner->resizeDocks({m_textDock}, {260}, Qt::Vertical);
    m_textDock->hide();
    connect(m_text, &editor::TextPanel::placed, this, &DeskWindow::fromText);
    connect(m_text, &editor::TextPanel::leaveWanted, this, [this] { m_gridView->setFocus(); });
    connect(m_textDock, &QDockWidget::visibilityChanged, this, [this](bool visible) {
        if (visible) m_text->refresh();
    });
}

/// One key goes to the text and back.
void DeskWindow::toText() {
    if (!m_session->isOpen()) return;
    if (m_text->view().hasFocus()) {
        m_gridView->setFocus();
        return;
    }
    m_textDock->show();
    m_text->refresh();
    m_text->setFocus();
}

/// The cursor came to another value's row: it is selected in the grid, which is no visit.
void DeskWindow::fromText(const models::Spot& spot) {
    const auto cell = m_session->find(spot.mark, spot.name);
    if (!cell || m_gridView->currentCell() == cell) return;
    const bool moving = std::exchange(m_moving, true);
    (void)m_gridView->goTo(*cell);
    m_moving = moving;
}

} // namespace spanwright::app
