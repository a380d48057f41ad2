// SPDX-License-Identifier: MIT
#include "gui/models/problem_list.h"

#include <algorithm>
#include <utility>

#include "gui/models/text.h"

namespace spanwright::models {

ProblemList::ProblemList(JobSession& session, QObject* parent) : QAbstractListModel(parent), m_session(session) {
    m_trialsSoon.setSingleShot(true);
    m_trialsSoon.setInterval(150);
    connect(&m_trialsSoon, &QTimer::timeout, this, &ProblemList::lookAtTrials);
    connect(&session, &JobSession::reset, this, [this] {
        if (std::exchange(m_path, m_session.path()) != m_session.path()) m_trials.clear();
    });
    connect(&session, &JobSession::settled, this, &ProblemList::refresh);
    if (session.isOpen()) refresh();
}

int ProblemList::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : static_cast<int>(m_standing.troubles.size()); }

QString ProblemList::word(Trouble::Sort sort) {
    switch (sort) {
    case Trouble::Sort::NotComputed:
    case Trouble::Sort::Trial: return tr("not computed");
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
    m_standing = standingOf(m_session, m_trials);
    endResetModel();
    Q_EMIT standingChanged();
    m_trialsSoon.start();
}

void ProblemList::lookAtTrials() {
    // An edit that is still being worked out tells when it is done.
    if (!m_session.isOpen() || m_session.isPending()) return;
    std::vector<Trouble> now = trialTroubles(m_session);
    const bool same = std::equal(now.begin(), now.end(), m_trials.begin(), m_trials.end(),
                                 [](const Trouble& a, const Trouble& b) { return a.text == b.text && a.mend == b.mend && a.place == b.place; });
    if (same) return;
    m_trials = std::move(now);
    refresh();
}

} // namespace spanwright::models
