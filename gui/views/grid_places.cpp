// SPDX-License-Identifier: MIT
// What is selected and what is typed in the grid, kept while rows and columns come and go.
#include <algorithm>
#include <utility>

#include "gui/views/cell_editor.h"
#include "gui/views/grid_delegate.h"
#include "gui/views/grid_view.h"
#include "gui/views/list_editor.h"

namespace spanwright::views {

using models::GridModel;
using models::GridRow;

/// Behind a reset: where it stood, by name; else the same row; else the first value.
void GridView::keepPlace() {
    QModelIndex at;
    if (m_place && m_session.isOpen())
        if (const auto cell = m_session.find(m_place->mark, m_place->name)) at = m_model.indexOf(*cell);
    if (!at.isValid() && m_model.rowCount() > 0 && m_model.columnCount() > GridModel::FirstMember) {
        // Of another sheet: begin at its first value.
        const auto cell = m_place ? m_session.find(m_place->mark, m_place->name) : std::nullopt;
        if (cell) m_row = 0;
        int row = std::min(m_row, m_model.rowCount() - 1);
        while (m_row == 0 && row + 1 < m_model.rowCount() && m_model.rowAt(row).sort != GridRow::Sort::Value) ++row;
        at = m_model.index(row, GridModel::FirstMember);
    }
    if (at.isValid()) m_members->setCurrentIndex(at);
}

/// Rows came or went. What was selected stays so while it is shown, and is selected again once it is; meanwhile the heading of its part stands
/// for it where that is folded, else the first value. A filter is asked for to see values: it leaves no heading selected.
void GridView::standAfterRelay(bool byFilter) {
    const QModelIndex stood = std::exchange(m_stood, QPersistentModelIndex());
    QModelIndex at;
    if (const auto home = m_place && m_session.isOpen() ? m_session.find(m_place->mark, m_place->name) : std::nullopt) {
        const bool heading = stood.isValid() && !m_model.cellAt(stood);
        if (stood.isValid() && !m_displaced && !(heading && byFilter)) at = stood;
        if (!at.isValid()) at = m_model.indexOf(*home);
        const meaning::Quantity& q = m_session.quantity(*home);
        const int column = stood.isValid() ? stood.column() : std::max<int>(GridModel::FirstMember, m_members->currentIndex().column());
        for (int r = 0; r < m_model.rowCount() && !at.isValid() && !byFilter; ++r)
            if (m_model.rowAt(r).sort == GridRow::Sort::Part && m_model.rowAt(r).part == q.part) at = m_model.index(r, column);
        for (int r = 0; r < m_model.rowCount() && !at.isValid(); ++r)
            if (m_model.rowAt(r).sort == GridRow::Sort::Value) at = m_model.index(r, column);
    } else {
        at = stood;
    }
    if (!at.isValid() && m_model.rowCount() > 0 && m_model.columnCount() > GridModel::FirstMember) at = m_model.index(0, GridModel::FirstMember);
    const auto place = m_place;
    if (at.isValid()) m_members->setCurrentIndex(at);
    m_relaying = false;
    currentMoved(m_members->currentIndex());
    // Put elsewhere by what is shown, not by the person: the place itself is kept.
    const auto cell = m_model.cellAt(m_members->currentIndex());
    m_displaced = place && !(cell && models::Spot{m_session.job().member(cell->member).mark, m_session.quantity(*cell).name} == *place) && at != stood;
    if (m_displaced) m_place = place;
    if (at.isValid() && at != stood) m_members->scrollTo(at);
    // Rows that a filter brings push what is selected away; where it will stand is known once they are laid out.
    if (byFilter) m_shrunkSoon.start();
    placeList();
}

bool GridView::goTo(models::CellId cell) {
    const QModelIndex at = m_model.reveal(cell);
    if (!at.isValid()) return false;
    m_members->setCurrentIndex(at);
    m_members->scrollTo(at, QAbstractItemView::EnsureVisible);
    return true;
}

CellEditor* GridView::cellEditor() const {
    for (CellEditor* e : m_members->viewport()->findChildren<CellEditor*>(QString(), Qt::FindDirectChildrenOnly))
        if (!e->done) return e;
    return nullptr;
}

void GridView::takeTyped() {
    if (CellEditor* editor = cellEditor(); editor != nullptr && editor->isTouched()) m_delegate->leave(*editor);
    if (m_listEditor) m_listEditor->takeTyped();
}

/// Behind a reset: the cell that was typed into is opened again with what was typed.
void GridView::goOnTyping() {
    const std::optional<Kept> kept = std::exchange(m_kept, std::nullopt);
    const auto cell = kept && m_session.isOpen() ? m_session.find(kept->spot.mark, kept->spot.name) : std::nullopt;
    const QModelIndex at = cell ? m_model.indexOf(*cell) : QModelIndex();
    if (!at.isValid() || (at.flags() & Qt::ItemIsEditable) == 0) return;
    m_members->setCurrentIndex(at);
    m_members->edit(at);
    if (CellEditor* editor = cellEditor()) editor->retype(kept->typed);
}

} // namespace spanwright::views
