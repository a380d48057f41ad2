// SPDX-License-Identifier: MIT
#include "gui/models/link_choices.h"

#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::models {

LinkChoices::LinkChoices(const JobSession& session, CellId target, QObject* parent) : QAbstractListModel(parent) {
    const meaning::Quantity& wanted = session.quantity(target);
    const job::Job& job = session.job();
    for (std::size_t m = 0; m < job.memberCount(); ++m) {
        if (m == target.member || !session.hasSheet(m)) continue;
        const job::MemberView& view = job.member(m);
        for (const meaning::Quantity& q : job.sheet(m).quantities) {
            const bool number =
                q.type == meaning::Type::Number && (q.kind == meaning::Kind::Ask || q.kind == meaning::Kind::Given || q.kind == meaning::Kind::Derive);
            if (!number || !q.axes.empty() || q.dimension != wanted.dimension || q.tag != wanted.tag) continue;
            const job::QuantityView& v = view.quantities[q.id.index()];
            m_entries.push_back({fromUtf8(view.mark), fromUtf8(q.name), wordsOf(q.what), v.shown.empty() ? wordsOf(v.reason) : fromUtf8(v.shown)});
        }
    }
}

int LinkChoices::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : static_cast<int>(m_entries.size()); }

QString LinkChoices::formula(int row) const {
    const Entry& e = m_entries[static_cast<std::size_t>(row)];
    return e.mark + QLatin1Char('.') + e.name;
}

QVariant LinkChoices::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const Entry& e = m_entries[static_cast<std::size_t>(index.row())];
    if (role == Qt::DisplayRole || role == Qt::AccessibleTextRole)
        return QStringLiteral("%1.%2 = %3%4").arg(e.mark, e.name, e.shown, e.what.isEmpty() ? QString() : QStringLiteral("   (%1)").arg(e.what));
    return {};
}

} // namespace spanwright::models
