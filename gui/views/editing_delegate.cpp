// SPDX-License-Identifier: MIT
#include "gui/views/editing_delegate.h"

#include <QAbstractItemView>
#include <QApplication>
#include <QKeyEvent>

#include <algorithm>

#include "gui/views/cell_editor.h"

namespace spanwright::views {

QWidget* EditingDelegate::createEditor(QWidget* parent, const QStyleOptionViewItem&, const QModelIndex& index) const {
    CellEditor* editor = editorFor(parent, index);
    if (editor == nullptr) return nullptr;
    editor->place = index;
    auto* self = const_cast<EditingDelegate*>(this);
    // Keys and focus go to what is typed into.
    if (editor->focusProxy() != nullptr) editor->focusProxy()->installEventFilter(self);
    // The choice made by click closes the editor as a typed one does.
    connect(editor, &CellEditor::chosen, self, [self, editor] {
        if (self->take(*editor)) Q_EMIT self->closeEditor(editor);
    });
    connect(editor, &CellEditor::grown, self, [self, editor] { self->updateEditorGeometry(editor, QStyleOptionViewItem(), editor->place); });
    connect(editor, &CellEditor::retyped, self, &EditingDelegate::retyped);
    return editor;
}

void EditingDelegate::setEditorData(QWidget* widget, const QModelIndex& index) const {
    auto* editor = qobject_cast<CellEditor*>(widget);
    if (editor == nullptr || editor->started) return;
    editor->started = true;
    editor->start(index.data(Qt::EditRole).toString());
    editor->showRefusal(refusalAt(index));
}

void EditingDelegate::setModelData(QWidget* widget, QAbstractItemModel* model, const QModelIndex& index) const {
    auto* editor = qobject_cast<CellEditor*>(widget);
    if (editor == nullptr || editor->done || editor->taking) return;
    // Asked by a view that leaves the cell: it closes the editor behind this, whatever comes of it.
    editor->taking = true;
    model->setData(index, editor->text(), Qt::EditRole);
    editor->taking = false;
    editor->done = true;
}

bool EditingDelegate::take(CellEditor& editor) {
    if (!editor.place.isValid() || editor.taking) return true;
    const QPersistentModelIndex at = editor.place;
    auto* model = const_cast<QAbstractItemModel*>(at.model());
    editor.taking = true;
    const bool taken = model->setData(at, editor.text(), Qt::EditRole);
    editor.taking = false;
    if (taken) {
        editor.done = true;
        return true;
    }
    editor.showRefusal(refusalAt(at));
    return false;
}

void EditingDelegate::leave(CellEditor& editor) {
    if (editor.done || editor.taking) return;
    (void)take(editor);
    editor.done = true;
    Q_EMIT closeEditor(&editor);
}

void EditingDelegate::updateEditorGeometry(QWidget* widget, const QStyleOptionViewItem&, const QModelIndex& index) const {
    auto* editor = qobject_cast<CellEditor*>(widget);
    const auto* viewport = widget->parentWidget();
    const auto* view = viewport != nullptr ? qobject_cast<const QAbstractItemView*>(viewport->parentWidget()) : nullptr;
    if (editor == nullptr || view == nullptr) return;
    // Over its cell, as large as it needs, and wholly within what is seen.
    const QRect cell = view->visualRect(index);
    const QSize size = editor->sizeHint().expandedTo(cell.size()).boundedTo(viewport->size());
    QRect place(cell.topLeft(), size);
    if (place.right() > viewport->rect().right()) place.moveRight(viewport->rect().right());
    if (place.bottom() > viewport->rect().bottom()) place.moveBottom(viewport->rect().bottom());
    place.moveTopLeft(QPoint(std::max(0, place.left()), std::max(0, place.top())));
    editor->setGeometry(place);
}

bool EditingDelegate::eventFilter(QObject* object, QEvent* event) {
    CellEditor* editor = nullptr;
    for (QObject* o = object; o != nullptr && editor == nullptr; o = o->parent()) editor = qobject_cast<CellEditor*>(o);
    // Half of an editor that is being deleted is none: nothing is to be taken from it.
    if (editor == nullptr) return false;
    if (event->type() == QEvent::FocusOut) {
        const Qt::FocusReason reason = static_cast<QFocusEvent*>(event)->reason();
        if (reason == Qt::ActiveWindowFocusReason || reason == Qt::PopupFocusReason || reason == Qt::MenuBarFocusReason) return false;
        const QWidget* now = QApplication::focusWidget();
        if (now != nullptr && (now == editor || editor->isAncestorOf(now))) return false;
        leave(*editor);
        return false;
    }
    if (event->type() != QEvent::KeyPress) return false;
    const auto* key = static_cast<QKeyEvent*>(event);
    switch (key->key()) {
    case Qt::Key_Return:
    case Qt::Key_Enter:
        if (take(*editor)) Q_EMIT closeEditor(editor);
        return true;
    case Qt::Key_Tab:
    case Qt::Key_Backtab:
        if (take(*editor)) Q_EMIT closeEditor(editor, key->key() == Qt::Key_Tab ? EditNextItem : EditPreviousItem);
        return true;
    case Qt::Key_Escape:
        editor->done = true;
        dropRefusalAt(editor->place);
        Q_EMIT closeEditor(editor, RevertModelCache);
        return true;
    default: return false;
    }
}

} // namespace spanwright::views
