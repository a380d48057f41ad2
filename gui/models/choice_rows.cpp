// SPDX-License-Identifier: MIT
#include "gui/models/choice_rows.h"

#include <algorithm>

#include "gui/models/text.h"

namespace spanwright::models {

ChoiceRows::ChoiceRows(const JobSession& session, CellId cell, QObject* parent) : QAbstractTableModel(parent) {
    const eval::Value& value = session.job().value(cell.member, cell.quantity);
    m_table = value.table ? value.table : session.quantity(cell).table;
    if (!m_table) return;
    if (value.known()) m_current = static_cast<int>(value.one);
    for (std::uint32_t c = 0; c < m_table->columns.size(); ++c)
        if (std::find(m_table->keys.begin(), m_table->keys.end(), c) == m_table->keys.end()) m_columns.push_back(c);
}

int ChoiceRows::rowCount(const QModelIndex& parent) const { return parent.isValid() || !m_table ? 0 : static_cast<int>(m_table->rowCount()); }

int ChoiceRows::columnCount(const QModelIndex& parent) const { return parent.isValid() || !m_table ? 0 : 1 + static_cast<int>(m_columns.size()); }

QString ChoiceRows::key(int row) const { return fromUtf8(m_table->rowLabel(static_cast<std::uint32_t>(row))); }

QString ChoiceRows::source() const { return m_table ? fromUtf8(m_table->comment) : QString(); }

QVariant ChoiceRows::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    if (role == Qt::DisplayRole || role == Qt::AccessibleTextRole) {
        if (index.column() == 0) return key(index.row());
        const std::uint32_t c = m_columns[static_cast<std::size_t>(index.column() - 1)];
        return fromUtf8(m_table->texts[c][static_cast<std::size_t>(index.row())]);
    }
    if (role == Qt::TextAlignmentRole && index.column() > 0 && !m_table->columns[m_columns[static_cast<std::size_t>(index.column() - 1)]].text)
        return QVariant(Qt::AlignRight | Qt::AlignVCenter);
    return {};
}

QVariant ChoiceRows::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation != Qt::Horizontal || role != Qt::DisplayRole || !m_table) return {};
    if (section == 0) {
        QStringList names;
        for (const std::uint32_t k : m_table->keys) names << fromUtf8(m_table->columns[k].name);
        return names.join(QStringLiteral(", "));
    }
    if (section < 0 || section >= columnCount()) return {};
    const meaning::Table::Column& column = m_table->columns[m_columns[static_cast<std::size_t>(section - 1)]];
    const QString name = fromUtf8(column.name);
    return column.text || column.unit.shown.empty() ? name : QStringLiteral("%1 in %2").arg(name, fromUtf8(column.unit.shown));
}

Qt::ItemFlags ChoiceRows::flags(const QModelIndex& index) const {
    if (!index.isValid()) return {};
    return Qt::ItemIsEnabled | Qt::ItemIsSelectable | Qt::ItemNeverHasChildren;
}

} // namespace spanwright::models
