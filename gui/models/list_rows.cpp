// SPDX-License-Identifier: MIT
#include "gui/models/list_rows.h"

#include <algorithm>
#include <utility>

#include "engine/base/text.h"
#include "engine/syntax/formula.h"
#include "engine/units/unit.h"
#include "gui/models/text.h"

namespace spanwright::models {

namespace {

/// Reads another value instead of being one.
bool readsLikeLink(const std::string& text) {
    std::vector<syntax::Complaint> complaints;
    const syntax::Formula f = syntax::readFormula(text, complaints);
    return complaints.empty() && std::any_of(f.nodes.begin(), f.nodes.end(),
                                             [](const syntax::Node& n) { return n.kind == syntax::NodeKind::Name || n.kind == syntax::NodeKind::Field; });
}

} // namespace

ListRows::ListRows(JobSession& session, CellId cell, QObject* parent)
    : QAbstractTableModel(parent), m_session(session), m_mark(session.job().member(cell.member).mark), m_name(session.quantity(cell).name),
      m_view(session.job().list(cell.member, cell.quantity).value_or(job::ListView())) {}

QVariant ListRows::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const std::string& text = m_view.rows[static_cast<std::size_t>(index.row())][static_cast<std::size_t>(index.column())];
    const auto& column = m_view.columns[static_cast<std::size_t>(index.column())];
    switch (role) {
    case Qt::DisplayRole:
    case Qt::EditRole: return fromUtf8(text);
    case Qt::TextAlignmentRole: return static_cast<int>((column.text || column.key ? Qt::AlignLeft : Qt::AlignRight) | Qt::AlignVCenter);
    case Qt::AccessibleTextRole: return QStringLiteral("%1, %2 %3").arg(fromUtf8(column.name), fromUtf8(text), fromUtf8(column.unit)).trimmed();
    default: return {};
    }
}

QString ListRows::misfit(int column, const std::string& text) const {
    const auto& c = m_view.columns[static_cast<std::size_t>(column)];
    if (c.text) return {};
    if (text.empty()) return c.key ? tr("a row needs a key") : tr("%1 needs a number, 0 if there is none").arg(fromUtf8(c.name));
    if (base::readDouble(text)) return {};
    const auto unit = units::readUnit(c.unit);
    const units::Unit assumed = c.unit.empty() || !unit.ok() ? units::Unit{} : unit.value();
    const auto read = units::readValue(text, &assumed);
    if (!read.ok()) {
        // A key without a unit may be any word; a name is a value taken from elsewhere.
        if ((c.key && c.unit.empty()) || readsLikeLink(text)) return {};
        return fromUtf8(read.error().message);
    }
    if (read.value().unit.dimension == assumed.dimension) return {};
    return tr("\"%1\" is not in %2").arg(fromUtf8(text), c.unit.empty() ? tr("plain numbers") : fromUtf8(c.unit));
}

bool ListRows::setData(const QModelIndex& index, const QVariant& value, int role) {
    if (role != Qt::EditRole || !checkIndex(index, CheckIndexOption::IndexIsValid)) return false;
    const std::string text = toUtf8(value.toString().trimmed());
    std::string& field = m_view.rows[static_cast<std::size_t>(index.row())][static_cast<std::size_t>(index.column())];
    if (text == field) return true;
    const QString why = misfit(index.column(), text);
    if (!why.isEmpty()) {
        Q_EMIT refused(index, why);
        return false;
    }
    field = text;
    Q_EMIT dataChanged(index, index);
    return true;
}

QVariant ListRows::headerData(int section, Qt::Orientation orientation, int role) const {
    if (role != Qt::DisplayRole) return {};
    if (orientation == Qt::Vertical) return section + 1;
    const auto& c = m_view.columns[static_cast<std::size_t>(section)];
    return c.unit.empty() ? fromUtf8(c.name) : QStringLiteral("%1 [%2]").arg(fromUtf8(c.name), fromUtf8(c.unit));
}

Qt::ItemFlags ListRows::flags(const QModelIndex& index) const {
    return index.isValid() ? Qt::ItemIsEnabled | Qt::ItemIsSelectable | Qt::ItemIsEditable | Qt::ItemNeverHasChildren : Qt::ItemFlags();
}

bool ListRows::insertRows(int row, int count, const QModelIndex& parent) {
    if (parent.isValid() || row < 0 || row > rowCount() || count < 1) return false;
    beginInsertRows({}, row, row + count - 1);
    m_view.rows.insert(m_view.rows.begin() + row, static_cast<std::size_t>(count), std::vector<std::string>(m_view.columns.size()));
    endInsertRows();
    return true;
}

bool ListRows::removeRows(int row, int count, const QModelIndex& parent) {
    if (parent.isValid() || row < 0 || count < 1 || row + count > rowCount()) return false;
    beginRemoveRows({}, row, row + count - 1);
    m_view.rows.erase(m_view.rows.begin() + row, m_view.rows.begin() + row + count);
    endRemoveRows();
    return true;
}

void ListRows::moveRow(int row, int by) {
    const int to = row + by;
    if (row < 0 || row >= rowCount() || to < 0 || to >= rowCount() || by == 0) return;
    beginMoveRows({}, row, row, {}, by > 0 ? to + 1 : to);
    auto moved = std::move(m_view.rows[static_cast<std::size_t>(row)]);
    m_view.rows.erase(m_view.rows.begin() + row);
    m_view.rows.insert(m_view.rows.begin() + to, std::move(moved));
    endMoveRows();
}

Outcome ListRows::state() {
    for (std::size_t r = 0; r < m_view.rows.size(); ++r)
        for (std::size_t c = 0; c < m_view.columns.size(); ++c)
            if (const QString why = misfit(static_cast<int>(c), m_view.rows[r][c]); !why.isEmpty())
                return Refusal{tr("row %1: %2").arg(r + 1).arg(why), tr("fill in the field, or take the row out")};
    const Outcome outcome = m_session.edit(tr("rows of %1.%2").arg(fromUtf8(m_mark), fromUtf8(m_name)),
                                           [this](job::Job& job) { return job.setListRows(m_mark, m_name, m_view.rows); });
    if (!outcome) m_view.stated = true;
    return outcome;
}

Outcome ListRows::takeBack() {
    return m_session.edit(tr("%1.%2 as in the sheet").arg(fromUtf8(m_mark), fromUtf8(m_name)), [this](job::Job& job) { return job.takeBack(m_mark, m_name); });
}

} // namespace spanwright::models
