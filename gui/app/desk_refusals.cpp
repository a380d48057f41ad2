// SPDX-License-Identifier: MIT
// What was refused, told in the foot of the window: as long as it is so and the person is there.
#include <QStackedWidget>
#include <QStatusBar>
#include <QTableView>
#include <QTimer>

#include "gui/app/desk_window.h"
#include "gui/views/editing_delegate.h"
#include "gui/views/grid_view.h"

namespace spanwright::app {

void DeskWindow::buildRefusals() {
    connect(m_grid.get(), &models::GridModel::refused, this, &DeskWindow::tellRefusal);
    connect(m_values.get(), &models::JobValues::refused, this, &DeskWindow::tellRefusal);
    for (const QAbstractItemModel* model : {static_cast<const QAbstractItemModel*>(m_grid.get()), static_cast<const QAbstractItemModel*>(m_values.get())}) {
        connect(model, &QAbstractItemModel::dataChanged, this, [this](const QModelIndex& first, const QModelIndex& last) {
            const auto within = [&](const QModelIndex& at) {
                return at.isValid() && at.model() == first.model() && at.row() >= first.row() && at.row() <= last.row() && at.column() >= first.column() &&
                       at.column() <= last.column();
            };
            // An edit tells of hundreds of values: a refusal is told of one of two.
            if (within(m_refusedAt) || within(refusalCurrent())) lookAtRefusal();
        });
        connect(model, &QAbstractItemModel::modelReset, this, &DeskWindow::lookAtRefusal);
        connect(model, &QAbstractItemModel::rowsRemoved, this, &DeskWindow::lookAtRefusal);
    }
    connect(m_gridView, &views::GridView::currentChanged, this, &DeskWindow::lookAtRefusal);
    connect(m_valuesView->selectionModel(), &QItemSelectionModel::currentChanged, this, &DeskWindow::lookAtRefusal);
    // What is being mended is told of anew when it is refused again.
    connect(m_gridView, &views::GridView::retyped, this, &DeskWindow::dropRefusal);
    connect(qobject_cast<views::EditingDelegate*>(m_valuesView->itemDelegate()), &views::EditingDelegate::retyped, this, &DeskWindow::dropRefusal);
}

QString DeskWindow::refusalAt(const QModelIndex& at) const {
    if (!at.isValid()) return {};
    const QVariant why =
        at.data(at.model() == m_grid.get() ? static_cast<int>(models::GridModel::RefusalRole) : static_cast<int>(models::JobValues::RefusalRole));
    return why.toString();
}

void DeskWindow::tellRefusal(const QModelIndex& at, const QString& reason) {
    m_refusedAt = at;
    m_refusalTold = reason.section(QLatin1Char('\n'), 0, 0);
    statusBar()->showMessage(m_refusalTold);
    // Where leaving the cell brought it about, it is told until the next step.
    m_refusalFresh = true;
    QTimer::singleShot(0, this, [this] { m_refusalFresh = false; });
}

void DeskWindow::dropRefusal() {
    if (!m_refusalTold.isEmpty() && statusBar()->currentMessage() == m_refusalTold) statusBar()->clearMessage();
    m_refusedAt = QPersistentModelIndex();
    m_refusalTold.clear();
}

QModelIndex DeskWindow::refusalCurrent() const { return m_pages->currentWidget() == m_gridView ? m_gridView->current() : m_valuesView->currentIndex(); }

void DeskWindow::lookAtRefusal() {
    const QModelIndex current = refusalCurrent();
    if (!m_refusalTold.isEmpty() && (refusalAt(m_refusedAt).isEmpty() || (m_refusedAt != current && !m_refusalFresh))) dropRefusal();
    // Back at one that was left: why it is refused.
    if (m_refusalTold.isEmpty())
        if (const QString why = refusalAt(current); !why.isEmpty()) tellRefusal(current, why);
}

} // namespace spanwright::app
