// SPDX-License-Identifier: MIT
#include "gui/editor/completion_popup.h"

#include <QAbstractItemView>
#include <QScrollBar>

#include <algorithm>

namespace spanwright::editor {

void SuggestionModel::set(std::vector<Suggestion> list) {
    beginResetModel();
    m_list = std::move(list);
    endResetModel();
}

QVariant SuggestionModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const Suggestion& s = m_list[static_cast<std::size_t>(index.row())];
    switch (role) {
    case kWordRole:
    case Qt::EditRole: return s.word;
    case Qt::DisplayRole: return s.what.isEmpty() ? s.word : QStringLiteral("%1   %2").arg(s.word, s.what);
    case Qt::AccessibleTextRole: return s.what.isEmpty() ? s.word : QStringLiteral("%1, %2").arg(s.word, s.what);
    default: return {};
    }
}

CompletionPopup::CompletionPopup(QWidget* editor) : QCompleter(editor), m_model(new SuggestionModel(this)) {
    setWidget(editor);
    setModel(m_model);
    setCompletionRole(SuggestionModel::kWordRole);
    setCompletionMode(QCompleter::UnfilteredPopupCompletion);
    setMaxVisibleItems(10);
    popup()->setAccessibleName(tr("Suggestions"));
}

void CompletionPopup::suggest(std::vector<Suggestion> list, const QRect& below, bool asked) {
    if (list.empty()) {
        close();
        return;
    }
    m_model->set(std::move(list));
    QRect place = below;
    const int letters = popup()->fontMetrics().averageCharWidth();
    place.setWidth(std::clamp(popup()->sizeHintForColumn(0) + popup()->verticalScrollBar()->sizeHint().width() + 12, letters * 20, letters * 70));
    complete(place);
    popup()->setCurrentIndex(asked ? popup()->model()->index(0, 0) : QModelIndex());
}

bool CompletionPopup::isOpen() const { return popup()->isVisible(); }

void CompletionPopup::close() { popup()->hide(); }

bool CompletionPopup::wants(int key) const {
    if (key == Qt::Key_Return || key == Qt::Key_Enter) return popup()->currentIndex().isValid();
    return key == Qt::Key_Escape;
}

QString CompletionPopup::first() const {
    const int row = std::max(0, popup()->currentIndex().row());
    return m_model->rowCount() > row ? m_model->index(row, 0).data(SuggestionModel::kWordRole).toString() : QString();
}

} // namespace spanwright::editor
