// SPDX-License-Identifier: MIT
#pragma once

#include <QStyledItemDelegate>

namespace spanwright::views {

class CellEditor;

/// Opens CellEditors and takes what they hold: by Return, Tab, a click on a choice, or by leaving them. What is refused stays in the editor
/// with the reason; left then, it stays beside the value.
class EditingDelegate : public QStyledItemDelegate {
    Q_OBJECT

public:
    using QStyledItemDelegate::QStyledItemDelegate;
    QWidget* createEditor(QWidget* parent, const QStyleOptionViewItem& option, const QModelIndex& index) const override;
    void setEditorData(QWidget* editor, const QModelIndex& index) const override;
    void setModelData(QWidget* editor, QAbstractItemModel* model, const QModelIndex& index) const override;
    void updateEditorGeometry(QWidget* editor, const QStyleOptionViewItem& option, const QModelIndex& index) const override;
    bool eventFilter(QObject* object, QEvent* event) override;
    /// As if the person went elsewhere: what stands there is taken, or kept beside the value with the reason. Does nothing while it is being taken.
    void leave(CellEditor& editor);

Q_SIGNALS:
    /// What was refused is being mended.
    void retyped();

protected:
    [[nodiscard]] virtual CellEditor* editorFor(QWidget* parent, const QModelIndex& index) const = 0;
    /// Why what was typed there is refused; empty if it is not.
    [[nodiscard]] virtual QString refusalAt(const QModelIndex& index) const = 0;
    /// The person gave up what was refused.
    virtual void dropRefusalAt(const QModelIndex& index) = 0;

private:
    /// Takes what stands in an editor; true when it may close.
    bool take(CellEditor& editor);
};

} // namespace spanwright::views
