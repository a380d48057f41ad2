// SPDX-License-Identifier: MIT
#include "gui/models/job_values.h"

#include <utility>

#include "gui/models/short_text.h"
#include "gui/models/text.h"

namespace spanwright::models {

JobValues::JobValues(JobSession& session, QObject* parent) : QAbstractTableModel(parent), m_session(session) {
    m_path = session.path();
    connect(&session, &JobSession::reset, this, [this] {
        // What was refused in one job is nothing of another.
        if (std::exchange(m_path, m_session.path()) != m_session.path()) m_refused.clear();
    });
    connect(&session, &JobSession::settled, this, &JobValues::refresh);
    if (session.isOpen()) m_entries = read();
}

std::vector<JobValues::Entry> JobValues::read() const {
    std::vector<Entry> out;
    const job::Job& job = m_session.job();
    if (job.isSingleSheet()) return out;
    // Of an edit that is still being worked out there is the text alone.
    std::optional<syntax::Document> ahead;
    if (m_session.isPending()) ahead = syntax::Document::read(job.path(), syntax::FileKind::Job, m_session.text(job.path()).value_or(std::string()));
    for (const syntax::Row& row : (ahead ? *ahead : job.document()).rows()) {
        if (row.kind != syntax::RowKind::Given || !row->name.present()) continue;
        out.push_back({fromUtf8(row->name.text), fromUtf8(row->formula.span.of(row.text)), fromUtf8(row->what.text), fromUtf8(row->source.text)});
    }
    return out;
}

void JobValues::refresh() {
    std::vector<Entry> now = read();
    const bool same = now.size() == m_entries.size();
    if (!same) beginResetModel();
    const std::vector<Entry> before = std::exchange(m_entries, std::move(now));
    if (!same) {
        endResetModel();
        return;
    }
    for (std::size_t i = 0; i < before.size(); ++i)
        if (!(before[i] == m_entries[i])) Q_EMIT dataChanged(index(static_cast<int>(i), 0), index(static_cast<int>(i), ColumnCount - 1));
}

int JobValues::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : static_cast<int>(m_entries.size()); }
int JobValues::columnCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : ColumnCount; }

QVariant JobValues::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const Entry& e = m_entries[static_cast<std::size_t>(index.row())];
    if (index.column() == ValueColumn) {
        const auto kept = m_refused.find(e.name);
        if (role == RefusalRole) return kept != m_refused.end() ? QVariant(kept->second.second) : QVariant();
        if (kept != m_refused.end() && role == Qt::EditRole) return kept->second.first;
        if (kept != m_refused.end() && (role == Qt::ToolTipRole || role == Qt::AccessibleDescriptionRole))
            return tr("\"%1\" was refused: %2").arg(kept->second.first, kept->second.second);
        if (kept != m_refused.end() && role == Qt::DisplayRole) return tr("%1    refused: %2").arg(e.value, kept->second.first);
    }
    if (role != Qt::DisplayRole && role != Qt::EditRole && role != Qt::AccessibleTextRole) return {};
    switch (index.column()) {
    case NameColumn: return e.name;
    case ValueColumn: return e.value;
    case WhatColumn: return e.what;
    case SourceColumn: return e.source;
    default: return {};
    }
}

bool JobValues::setData(const QModelIndex& index, const QVariant& value, int role) {
    if (role != Qt::EditRole || !index.isValid() || index.column() != ValueColumn) return false;
    const Entry& e = m_entries[static_cast<std::size_t>(index.row())];
    const QString typed = value.toString().trimmed();
    const QString name = e.name;
    const Outcome outcome = typed == e.value ? Outcome() : m_session.setJobGiven(name, typed);
    if (!outcome) {
        if (m_refused.erase(name) > 0) tellOf(name);
        return true;
    }
    const QString why = outcome->mend.isEmpty() ? outcome->message : tr("%1\nmend: %2").arg(outcome->message, outcome->mend);
    m_refused[name] = {typed, why};
    tellOf(name);
    Q_EMIT refused(index, why);
    return false;
}

void JobValues::dropRefusal(const QModelIndex& index) {
    if (!index.isValid()) return;
    const QString name = m_entries[static_cast<std::size_t>(index.row())].name;
    if (m_refused.erase(name) > 0) tellOf(name);
}

QStringList JobValues::notTaken() const {
    QStringList out;
    for (const Entry& e : m_entries)
        if (const auto kept = m_refused.find(e.name); kept != m_refused.end()) out << tr("%1, \"%2\"").arg(e.name, shortened(kept->second.first, 60));
    return out;
}

void JobValues::tellOf(const QString& name) {
    for (std::size_t i = 0; i < m_entries.size(); ++i)
        if (m_entries[i].name == name) Q_EMIT dataChanged(this->index(static_cast<int>(i), ValueColumn), this->index(static_cast<int>(i), ValueColumn));
}

QVariant JobValues::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation != Qt::Horizontal || role != Qt::DisplayRole) return {};
    switch (section) {
    case NameColumn: return tr("Symbol");
    case ValueColumn: return tr("Value");
    case WhatColumn: return tr("What it is");
    case SourceColumn: return tr("Source");
    default: return {};
    }
}

Qt::ItemFlags JobValues::flags(const QModelIndex& index) const {
    if (!index.isValid()) return {};
    Qt::ItemFlags flags = Qt::ItemIsEnabled | Qt::ItemIsSelectable | Qt::ItemNeverHasChildren;
    if (index.column() == ValueColumn) flags |= Qt::ItemIsEditable;
    return flags;
}

} // namespace spanwright::models
