// SPDX-License-Identifier: MIT
// The text beside the grid: where it stands, and how it and the grid follow each other.
#include <QDockWidget>
#include <QTimer>

#include <algorithm>
#include <utility>

#include "gui/app/desk_window.h"
#include "gui/app/dock_title.h"
#include "gui/editor/text_panel.h"
#include "gui/editor/text_view.h"
#include "gui/views/grid_view.h"

namespace spanwright::app {

namespace {
constexpr int kTextLetters = 60; ///< of a line of the text that are to be seen
} // namespace

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
    // Where the workshop's views stand beside it, both get a width in which they can be read.
    const auto share = [this] {
        if (m_textDock->isHidden() || m_textDock->isFloating() || m_inner->dockWidgetArea(m_textDock) != Qt::BottomDockWidgetArea) return;
        for (QDockWidget* shop : m_shopDocks) {
            if (shop->isHidden() || shop->isFloating() || !shop->widget()->isVisible() || m_inner->dockWidgetArea(shop) != Qt::BottomDockWidgetArea) continue;
            const int both = m_textDock->width() + shop->width();
            const int least = std::min(both / 2, m_textDock->fontMetrics().averageCharWidth() * kTextLetters);
            if (m_textDock->width() < least || shop->width() < least) m_inner->resizeDocks({m_textDock, shop}, {both / 2, both - both / 2}, Qt::Horizontal);
            return;
        }
    };
    connect(m_textDock, &QDockWidget::visibilityChanged, this, [this, share](bool visible) {
        if (!visible) return;
        m_text->refresh();
        QTimer::singleShot(0, this, share);
    });
    // They are built behind this.
    QTimer::singleShot(0, this, [this, share] {
        for (QDockWidget* shop : m_shopDocks)
            connect(shop, &QDockWidget::visibilityChanged, this, [this, share](bool visible) {
                if (visible) QTimer::singleShot(0, this, share);
            });
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
