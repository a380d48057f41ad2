// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractListModel>
#include <QCompleter>

#include "gui/editor/completion.h"

namespace spanwright::editor {

class SuggestionModel : public QAbstractListModel {
    Q_OBJECT

public:
    using QAbstractListModel::QAbstractListModel;
    static constexpr int kWordRole = Qt::UserRole + 1;
    void set(std::vector<Suggestion> list);
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override { return parent.isValid() ? 0 : static_cast<int>(m_list.size()); }
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;

private:
    std::vector<Suggestion> m_list;
};

/// The list of suggestions below what is typed, for any editor. Arrow keys choose, Return takes what is chosen, Tab
/// that or the first, Escape closes.
class CompletionPopup : public QCompleter {
    Q_OBJECT

public:
    explicit CompletionPopup(QWidget* editor);
    /// Shows them below a rectangle of the editor; hides when there are none. Only those that were asked for have one
    /// chosen to begin with: Return on a list that came by itself is the editor's.
    void suggest(std::vector<Suggestion> list, const QRect& below, bool asked);
    /// The one that Tab takes: that chosen, else the first.
    [[nodiscard]] QString first() const;
    [[nodiscard]] bool isOpen() const;
    void close();
    [[nodiscard]] const SuggestionModel& list() const { return *m_model; }
    /// True when the key is the list's while it is open.
    [[nodiscard]] bool wants(int key) const;

private:
    SuggestionModel* m_model;
};

} // namespace spanwright::editor
