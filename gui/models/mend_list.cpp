// SPDX-License-Identifier: MIT
#include "gui/models/mend_list.h"

#include "gui/models/grid_model.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::models {

MendList::MendList(JobSession& session, QObject* parent) : QAbstractListModel(parent), m_session(session), m_asking(session) {
    connect(&m_asking, &Asking::changed, this, [this] {
        if (m_asking.state() != Asking::State::Answered) take(std::nullopt);
        Q_EMIT changed();
    });
    connect(&session, &JobSession::reset, this, [this] { showMember(std::nullopt); });
}

void MendList::take(std::optional<trial::Mends> mends) {
    if (!mends && !m_mends) return;
    beginResetModel();
    m_mends = std::move(mends);
    endResetModel();
}

void MendList::showMember(std::optional<std::size_t> member) {
    if (member == m_member && member) return;
    m_member = member;
    if (!member) {
        m_asking.askNothing();
        return;
    }
    using Plan = Asking::Planned<trial::MendsPlan>;
    using Answer = Asking::Planned<trial::Mends>;
    m_asking.ask(Asking::question(
        [member = *member](const job::Job& job) -> Plan {
            if (member >= job.memberCount() || job.member(member).verdict != job::Verdict::Fails) return base::Failure{QString()};
            return trial::planMends(job, member);
        },
        [](const trial::MendsPlan& plan, const trial::Control& control) -> Answer { return trial::mendsFor(plan, {}, control); },
        [this](trial::Mends&& mends) {
            if (!mends.cancelled) take(std::move(mends));
        },
        [](const QString&) {}));
}

int MendList::rowCount(const QModelIndex& parent) const { return parent.isValid() || !m_mends ? 0 : static_cast<int>(m_mends->mends.size()); }

QVariant MendList::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const trial::Mend& m = m_mends->mends[static_cast<std::size_t>(index.row())];
    QString now = m.what.empty() ? tr("now %1").arg(fromUtf8(m.nowShown)) : tr("now %1, %2").arg(fromUtf8(m.nowShown), wordsOf(m.what));
    if (m.reached != job::Verdict::Ok) now = tr("then %1; %2").arg(GridModel::verdictWord(m.reached), now);
    switch (role) {
    case Qt::DisplayRole: return fromUtf8(m.text);
    case Qt::ToolTipRole: return tr("puts %1 = %2 into the job").arg(fromUtf8(m.name.name), fromUtf8(m.written));
    case Qt::AccessibleTextRole: return QStringLiteral("%1, %2").arg(fromUtf8(m.text), now);
    case NowRole: return now;
    default: return {};
    }
}

Outcome MendList::putIntoJob(int row) {
    const bool holds = m_mends && m_asking.state() == Asking::State::Answered && !m_session.isPending();
    if (!holds || row < 0 || row >= rowCount()) return Refusal{tr("the job has changed since this was found"), tr("wait until it is found anew")};
    const trial::Mend mend = m_mends->mends[static_cast<std::size_t>(row)];
    const auto cell = m_session.find(mend.name.mark, mend.name.name);
    if (!cell) return Refusal{tr("%1 is no longer there").arg(fromUtf8(trial::pathText(mend.name))), {}};
    return m_session.setValue(*cell, fromUtf8(mend.written));
}

QString MendList::words() const {
    if (!m_member || m_asking.state() == Asking::State::Nothing) return {};
    if (m_asking.state() == Asking::State::Waiting)
        return *m_member < m_session.job().memberCount() && m_session.job().member(*m_member).verdict == job::Verdict::Fails
                   ? tr("Looking for what would do...")
                   : QString();
    if (!m_mends) return {};
    const QString mark = fromUtf8(m_session.job().member(*m_member).mark);
    if (m_mends->mends.empty()) {
        if (!m_mends->notLooked.empty() && m_mends->noHelp.empty()) return tr("Nothing was found in the time that may be taken.");
        return tr("No single change of a stated value or choice makes all checks of %1 pass.").arg(mark);
    }
    if (m_mends->mends.front().reached != job::Verdict::Ok) // those that reach OK stand first
        return tr("Each alone makes all checks of %1 pass; for other reasons it is not OK then:").arg(mark);
    return tr("Each alone makes all checks of %1 pass:").arg(mark);
}

} // namespace spanwright::models
