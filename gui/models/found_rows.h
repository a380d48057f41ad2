// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractListModel>

#include <vector>

namespace spanwright::models {

/// Rows of another list in which every one of some words stands, in any order and in letters of either size. All rows are told anew at each search,
/// as what is found of a large job comes in thousands of pieces.
class FoundRows : public QAbstractListModel {
    Q_OBJECT

public:
    /// `source` does not change while this is there.
    explicit FoundRows(const QAbstractItemModel& source, QObject* parent = nullptr);
    void find(const QString& words);
    /// The row whose first word is what is looked for, letter for letter if there is such a one; else the first row.
    [[nodiscard]] QModelIndex best() const;
    [[nodiscard]] QModelIndex inSource(const QModelIndex& index) const;
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override { return parent.isValid() ? 0 : static_cast<int>(m_rows.size()); }
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;

private:
    const QAbstractItemModel& m_source;
    QString m_words;
    std::vector<int> m_rows; ///< in the source
};

} // namespace spanwright::models
