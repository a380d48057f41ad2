// SPDX-License-Identifier: MIT
#include "gui/models/found_rows.h"

#include <algorithm>

namespace spanwright::models {

FoundRows::FoundRows(const QAbstractItemModel& source, QObject* parent) : QAbstractListModel(parent), m_source(source) { find({}); }

void FoundRows::find(const QString& words) {
    const QStringList all = words.split(QLatin1Char(' '), Qt::SkipEmptyParts);
    const auto fits = [&](int row) {
        const QString line = m_source.index(row, 0).data().toString();
        return std::all_of(all.begin(), all.end(), [&](const QString& word) { return line.contains(word, Qt::CaseInsensitive); });
    };
    std::vector<int> now;
    // A longer text is found only where the shorter one was.
    const bool narrower = !m_words.isEmpty() && words.startsWith(m_words);
    const int count = narrower ? static_cast<int>(m_rows.size()) : m_source.rowCount();
    for (int i = 0; i < count; ++i) {
        const int row = narrower ? m_rows[static_cast<std::size_t>(i)] : i;
        if (fits(row)) now.push_back(row);
    }
    beginResetModel();
    m_words = words;
    m_rows = std::move(now);
    endResetModel();
}

QModelIndex FoundRows::best() const {
    const QString wanted = m_words.trimmed();
    int second = -1;
    for (int i = 0; !wanted.isEmpty() && i < rowCount(); ++i) {
        const QString line = m_source.index(m_rows[static_cast<std::size_t>(i)], 0).data().toString();
        if (!line.startsWith(wanted, Qt::CaseInsensitive) || (line.size() > wanted.size() && !line[wanted.size()].isSpace())) continue;
        if (line.startsWith(wanted)) return index(i);
        if (second < 0) second = i;
    }
    return index(std::max(0, second));
}

QModelIndex FoundRows::inSource(const QModelIndex& index) const {
    return index.isValid() ? m_source.index(m_rows[static_cast<std::size_t>(index.row())], 0) : QModelIndex();
}

QVariant FoundRows::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    return inSource(index).data(role);
}

} // namespace spanwright::models
