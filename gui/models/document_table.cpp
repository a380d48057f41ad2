// SPDX-License-Identifier: MIT
#include "gui/models/document_table.h"

#include "gui/models/text.h"

namespace spanwright::models {

void DocumentTable::setTable(report::Table table) {
    beginResetModel();
    m_table = std::move(table);
    endResetModel();
}

int DocumentTable::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : static_cast<int>(m_table.rows.size()); }
int DocumentTable::columnCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : static_cast<int>(m_table.columns.size()); }

QVariant DocumentTable::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const report::Inlines& cell = m_table.rows[static_cast<std::size_t>(index.row())][static_cast<std::size_t>(index.column())];
    const bool boxed = cell.size() == 1 && cell.front().kind == report::Inline::Kind::Boxed;
    switch (role) {
    case Qt::DisplayRole: return boxed ? fromUtf8(report::stampText(cell.front().stamp)) : fromUtf8(report::wordsOf(cell));
    case Qt::TextAlignmentRole:
        return QVariant::fromValue(
            Qt::Alignment(Qt::AlignVCenter |
                          (m_table.columns[static_cast<std::size_t>(index.column())].align == report::Table::Align::Right ? Qt::AlignRight : Qt::AlignLeft)));
    case StampRole: return boxed ? QVariant(static_cast<int>(cell.front().stamp)) : QVariant();
    default: return {};
    }
}

QVariant DocumentTable::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation != Qt::Horizontal || role != Qt::DisplayRole || section < 0 || section >= columnCount()) return {};
    return fromUtf8(m_table.columns[static_cast<std::size_t>(section)].head);
}

QString DocumentTable::tabbed() const {
    QString out;
    const auto line = [&](int row) {
        QStringList fields;
        for (int c = 0; c < columnCount(); ++c)
            fields << (row < 0 ? headerData(c, Qt::Horizontal, Qt::DisplayRole).toString() : index(row, c).data().toString())
                          .replace(QLatin1Char('\t'), QLatin1Char(' '));
        out += fields.join(QLatin1Char('\t')) + QLatin1Char('\n');
    };
    for (int row = -1; row < rowCount(); ++row) line(row);
    return out;
}

} // namespace spanwright::models
