// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractTableModel>

#include <optional>

#include "engine/report/document.h"

namespace spanwright::models {

/// A table of a report's document as an item model.
class DocumentTable : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Role { StampRole = Qt::UserRole + 1 /* report::Stamp of a boxed word; invalid for words */ };
    using QAbstractTableModel::QAbstractTableModel;
    void setTable(report::Table table);
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;
    /// Heads and rows, fields apart by tabs: what another program takes as a table.
    [[nodiscard]] QString tabbed() const;

private:
    report::Table m_table;
};

} // namespace spanwright::models
