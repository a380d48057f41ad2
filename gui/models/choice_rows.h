// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractTableModel>

#include <memory>
#include <optional>

#include "gui/models/job_session.h"

namespace spanwright::models {

/// The rows that a choice can be made from, with their fields: first the row's key, then the table's other columns
/// with their units in the heads.
class ChoiceRows : public QAbstractTableModel {
    Q_OBJECT

public:
    ChoiceRows(const JobSession& session, CellId cell, QObject* parent = nullptr);
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;
    /// What states a row: its key, as the language writes it.
    [[nodiscard]] QString key(int row) const;
    /// The row chosen now; nothing if none is.
    [[nodiscard]] std::optional<int> current() const { return m_current; }
    /// Source and edition of the table.
    [[nodiscard]] QString source() const;

private:
    std::shared_ptr<const meaning::Table> m_table;
    std::vector<std::uint32_t> m_columns; ///< that are no keys
    std::optional<int> m_current;
};

} // namespace spanwright::models
