// SPDX-License-Identifier: MIT
#include "gui/views/job_value_delegate.h"

#include "gui/views/cell_editor.h"

namespace spanwright::views {

CellEditor* JobValueDelegate::editorFor(QWidget* parent, const QModelIndex& index) const {
    using V = models::JobValues;
    const auto text = [&](int column) { return index.siblingAtColumn(column).data().toString(); };
    const QString what = text(V::WhatColumn);
    auto* editor = new ValueEditor(tr("the whole job, %1").arg(what.isEmpty() ? text(V::NameColumn) : what), {}, parent);
    editor->setLeft();
    return editor;
}

} // namespace spanwright::views
