// SPDX-License-Identifier: MIT
#include "gui/models/problem_list.h"

#include "gui/models/text.h"

namespace spanwright::models {

ProblemList::ProblemList(JobSession& session, QObject* parent) : QAbstractListModel(parent), m_session(session) {
    connect(&session, &JobSession::settled, this, &ProblemList::refresh);
    if (session.isOpen()) refresh();
}

int ProblemList::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : static_cast<int>(m_standing.troubles.size()); }

QString ProblemList::word(Trouble::Sort sort) {
    switch (sort) {
    case Trouble::Sort::NotComputed: return tr("not computed");
    case Trouble::Sort::Fails: return tr("fails");
    case Trouble::Sort::NotProven: return tr("not proven");
    case Trouble::Sort::NotStated: return tr("not stated");
    }
    return {};
}

QVariant ProblemList::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const Trouble& t = trouble(index.row());
    const QString mark = fromUtf8(t.mark);
    switch (role) {
    case Qt::DisplayRole: return mark.isEmpty() ? t.text : QStringLiteral("%1  %2").arg(mark, t.text);
    case Qt::ToolTipRole: return t.mend.isEmpty() ? QVariant() : tr("mend: %1").arg(t.mend);
    case Qt::AccessibleTextRole: return tr("%1: %2").arg(word(t.sort), mark.isEmpty() ? t.text : QStringLiteral("%1 %2").arg(mark, t.text));
    case MendRole: return t.mend;
    case SortRole: return static_cast<int>(t.sort);
    case MarkRole: return mark;
    default: return {};
    }
}

void ProblemList::refresh() {
    beginResetModel();
    m_standing = standingOf(m_session);
    endResetModel();
    Q_EMIT standingChanged();
}

} // namespace spanwright::models
