// SPDX-License-Identifier: MIT
// What the cells of the grid show.
#include <algorithm>

#include "engine/units/format.h"
#include "gui/models/cell_text.h"
#include "gui/models/grid_model.h"
#include "gui/models/list_rows.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::models {

namespace {

using job::CheckView;

/// From the one that asks least of a reader to the one that asks most.
int weight(CheckView::State s) {
    switch (s) {
    case CheckView::State::NotApplicable: return 0;
    case CheckView::State::Passes: return 1;
    case CheckView::State::NotProven: return 2;
    case CheckView::State::Fails: return 3;
    case CheckView::State::NotComputed: return 4;
    }
    return 4;
}

QString tagWord(syntax::Tag tag) {
    switch (tag) {
    case syntax::Tag::Characteristic: return GridModel::tr("characteristic");
    case syntax::Tag::Design: return GridModel::tr("design");
    case syntax::Tag::None: break;
    }
    return {};
}

bool isCheck(meaning::Kind k) { return k == meaning::Kind::Check || k == meaning::Kind::Require; }

} // namespace

QVariant GridModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const GridRow& row = rowAt(index.row());
    if (role == SortRole) return static_cast<int>(row.sort);
    if (role == FoldedRole) return row.sort == GridRow::Sort::Part && m_folded.count(fromUtf8(sheet()->parts[row.part].title)) > 0;
    if (row.quantity.valid()) {
        const meaning::Quantity& q = sheet()->at(row.quantity);
        if (role == KindRole) return static_cast<int>(q.kind);
        if (role == NameRole) return fromUtf8(q.name);
        if (role == OpensRole) return row.sort == GridRow::Sort::Value && !q.axes.empty();
        if (role == OpenRole) return row.sort == GridRow::Sort::Value && m_open.count(q.name) > 0;
        if (role == RewrittenRole) return row.sort == GridRow::Sort::Value ? rewritten(q) : QString();
    }
    if (index.column() < FirstMember) return rowData(row, index.column(), role);
    const std::size_t member = *memberAt(index.column());
    if (!row.quantity.valid()) return partData(row, member, role);
    if (!m_session.hasSheet(member)) return {};
    return cellData(row, {member, row.quantity}, role);
}

/// Symbol, what it is, unit.
QVariant GridModel::rowData(const GridRow& row, int column, int role) const {
    const bool text = role == Qt::DisplayRole || role == Qt::AccessibleTextRole;
    if (!row.quantity.valid()) {
        if (!text && role != Qt::ToolTipRole) return {};
        const meaning::Part& part = sheet()->parts[row.part];
        QString title = row.sort == GridRow::Sort::Part ? fromUtf8(part.title) : tr("otherwise");
        if (role == Qt::ToolTipRole) return {};
        if (column != SymbolColumn && role == Qt::DisplayRole) return {};
        if (role == Qt::AccessibleTextRole && row.sort == GridRow::Sort::Part)
            title = m_folded.count(fromUtf8(part.title)) > 0 ? tr("part %1, folded").arg(title) : tr("part %1").arg(title);
        return title;
    }
    const meaning::Quantity& q = sheet()->at(row.quantity);
    if (row.sort == GridRow::Sort::Case) {
        if (text && column == WhatColumn) return caseLabel(row);
        return {};
    }
    if (role == Qt::ToolTipRole) {
        QStringList lines;
        if (const QString what = whatItIs(*sheet(), q); !what.isEmpty()) lines << what;
        if (!q.note.empty()) lines << wordsOf(q.note);
        if (!q.source.empty()) lines << tr("source: %1").arg(fromUtf8(q.source));
        if (const QString how = rewritten(q); !how.isEmpty())
            lines << tr("%1 in this copy of %2").arg(how, fromUtf8(m_session.job().member(groupNow()->members.front()).copyOf));
        return lines.isEmpty() ? QVariant() : lines.join(QLatin1Char('\n'));
    }
    if (role == WordsRole && column == WhatColumn) {
        const std::string& written = whatWritten(*sheet(), q);
        return written.find('`') == std::string::npos ? QVariant() : fromUtf8(written);
    }
    if (!text) return {};
    switch (column) {
    case SymbolColumn: return fromUtf8(meaning::plain(m_symbols[q.id.index()]));
    case WhatColumn: {
        const QString how = role == Qt::AccessibleTextRole ? rewritten(q) : QString();
        const QString what = whatItIs(*sheet(), q);
        return how.isEmpty() ? what : tr("%1, %2 against the ready sheet").arg(what, how);
    }
    case UnitColumn:
        if (q.kind == meaning::Kind::Piece) return tr("mm");
        return isCheck(q.kind) || q.type != meaning::Type::Number ? QString() : fromUtf8(q.unit.shown);
    default: return {};
    }
}

QString GridModel::caseLabel(const GridRow& row) const {
    for (const std::size_t member : groupNow()->members) {
        const job::CheckView* check = m_session.check({member, row.quantity});
        if (check != nullptr && row.caseIndex < check->cases.size()) return fromUtf8(check->cases[row.caseIndex].label);
        const std::vector<std::string> labels = m_session.job().caseLabels(member, row.quantity);
        if (row.caseIndex < labels.size()) return fromUtf8(labels[row.caseIndex]);
    }
    return {};
}

GridModel::Tick GridModel::tickOf(CellId cell) const {
    const job::QuantityView& view = m_session.view(cell);
    if (!view.tick || *view.tick >= m_session.job().ticks().size()) return Tick::None;
    switch (m_session.job().ticks()[*view.tick].state) {
    case job::TickView::State::Current: return Tick::Current;
    case job::TickView::State::OutOfDate: return Tick::OutOfDate;
    case job::TickView::State::Unknown: break;
    }
    return Tick::Unknown;
}

GridModel::Remark GridModel::remarkOf(CellId cell) const {
    Remark out = Remark::None;
    for (const std::uint32_t i : m_session.view(cell).remarks) out = std::max(out, m_session.job().remarks()[i].open ? Remark::Open : Remark::Answered);
    return out;
}

QString GridModel::remarkText(CellId cell) const {
    QStringList lines;
    for (const std::uint32_t i : m_session.view(cell).remarks) {
        const job::RemarkView& r = m_session.job().remarks()[i];
        const QString who = fromUtf8(r.by), day = fromUtf8(r.on), words = fromUtf8(r.text);
        lines << (r.answer ? tr("answer by %1 on %2: %3").arg(who, day, words) : tr("remark by %1 on %2: %3").arg(who, day, words));
    }
    return lines.join(QLatin1Char('\n'));
}

QString GridModel::rewritten(const meaning::Quantity& q) const {
    if (q.name.empty()) return {};
    const job::MemberView& view = m_session.job().member(groupNow()->members.front());
    const auto in = [&](const std::vector<std::string>& names) { return std::find(names.begin(), names.end(), q.name) != names.end(); };
    if (in(view.addedRows)) return tr("added");
    if (in(view.changedRows)) return tr("changed");
    return {};
}

GridModel::Form GridModel::formOf(CellId cell) const {
    const job::QuantityView& view = m_session.view(cell);
    const meaning::Quantity& q = m_session.quantity(cell);
    if (view.state == eval::State::NotStated) return Form::NotStated;
    if (view.stated || view.overridden) return isLink(q, view.statedText) ? Form::Linked : Form::Stated;
    if (view.assumed) return Form::Assumed;
    return settable(q.kind) ? Form::Stated : Form::Worked;
}

QString GridModel::shownOf(const GridRow& row, CellId cell) const {
    const job::QuantityView& view = m_session.view(cell);
    const meaning::Quantity& q = m_session.quantity(cell);
    switch (view.state) {
    case eval::State::NotStated: return tr("not stated");
    case eval::State::Failed:
    case eval::State::Blocked: return tr("not computed");
    case eval::State::NotApplicable: return tr("does not apply");
    case eval::State::Known: break;
    }
    if (row.sort == GridRow::Sort::Case) {
        const eval::Value& value = m_session.job().value(cell.member, cell.quantity);
        if (row.caseIndex >= value.many.size()) return {};
        const double number = value.many[row.caseIndex];
        if (q.type == meaning::Type::Number && q.unit.dimension == q.dimension) return fromUtf8(units::showNumber(number, q.unit, q.show));
        return fromUtf8(withoutUnit(m_session.job().working(cell.member, cell.quantity, row.caseIndex).shown, q.unit.shown));
    }
    if (q.kind == meaning::Kind::Beam) return tr("solved");
    if (q.kind == meaning::Kind::Piece) return m_session.piece(cell);
    return fromUtf8(withoutUnit(view.shown, q.unit.shown));
}

QString GridModel::toolTip(const GridRow& row, CellId cell) const {
    const job::QuantityView& view = m_session.view(cell);
    QStringList lines;
    if (m_session.outOfDate(cell)) lines << tr("out of date: being worked out anew");
    if (const auto kept = m_refused.find(keyOf(cell)); kept != m_refused.end()) {
        lines << tr("\"%1\" was refused: %2").arg(kept->second.typed, kept->second.why.message);
        if (!kept->second.why.mend.isEmpty()) lines << tr("mend: %1").arg(kept->second.why.mend);
    }
    if (m_session.changed(cell)) {
        const QString old = m_session.oldShown(cell);
        lines << (old.isEmpty() ? tr("before the last edit: no value") : tr("before the last edit: %1").arg(old));
    }
    const QVariant reason = cellData(row, cell, ReasonRole);
    if (!reason.toString().isEmpty()) lines << reason.toString();
    switch (formOf(cell)) {
    case Form::Linked: {
        const QString tag = tagWord(m_session.quantity(cell).tag), from = fromUtf8(view.statedText);
        lines << (tag.isEmpty() ? tr("taken from %1").arg(from) : tr("taken from %1 as a %2 value").arg(from, tag));
        break;
    }
    case Form::Stated:
        if (!view.statedText.empty()) lines << tr("stated as %1").arg(fromUtf8(view.statedText));
        break;
    case Form::Assumed: lines << tr("assumed: the job does not state it"); break;
    case Form::Worked:
    case Form::NotStated: break;
    }
    const QString remarks = remarkText(cell);
    if (!remarks.isEmpty()) lines << remarks;
    if (view.tick && *view.tick < m_session.job().ticks().size()) {
        const job::TickView& tick = m_session.job().ticks()[*view.tick];
        const QString by = tr("ticked by %1 on %2").arg(fromUtf8(tick.by), fromUtf8(tick.on));
        switch (tick.state) {
        case job::TickView::State::Current: lines << by; break;
        case job::TickView::State::OutOfDate: lines << tr("%1; out of date, changed since: %2").arg(by, fromUtf8(tick.changed)); break;
        case job::TickView::State::Unknown: lines << tr("%1; there is no value now").arg(by); break;
        }
    }
    return lines.join(QLatin1Char('\n'));
}

QVariant GridModel::checkData(const GridRow& row, CellId cell, int role) const {
    const CheckView* check = m_session.check(cell);
    if (check == nullptr) return {};
    CheckView::State state = check->state;
    std::optional<double> utilisation = check->utilisation;
    if (row.sort == GridRow::Sort::Case) {
        if (row.caseIndex >= check->cases.size()) return {};
        state = check->cases[row.caseIndex].state;
        utilisation = check->cases[row.caseIndex].utilisation;
    }
    switch (role) {
    case CheckRole: return static_cast<int>(state);
    case UtilisationRole: return utilisation ? QVariant(*utilisation) : QVariant();
    case ReasonRole: return row.sort == GridRow::Sort::Case ? QVariant() : wordsOf(check->reason);
    case Qt::DisplayRole: return utilisation ? fromUtf8(units::showUtilisation(*utilisation)) : QString();
    default: return {};
    }
}

QVariant GridModel::cellData(const GridRow& row, CellId cell, int role) const {
    const job::QuantityView& view = m_session.view(cell);
    const meaning::Quantity& q = m_session.quantity(cell);
    const bool check = isCheck(q.kind);
    if (role == OutOfDateRole) return m_session.outOfDate(cell);
    if (check && (role == CheckRole || role == UtilisationRole || role == ReasonRole || role == Qt::DisplayRole)) return checkData(row, cell, role);
    const auto kept = [&] { return m_refused.find(keyOf(cell)); };
    switch (role) {
    case Qt::DisplayRole: return m_session.typed(cell).value_or(shownOf(row, cell));
    case Qt::EditRole: {
        if (const auto k = kept(); k != m_refused.end()) return k->second.typed;
        if (const auto typed = m_session.typed(cell)) return *typed;
        if (!view.statedText.empty()) return fromUtf8(view.statedText);
        return fromUtf8(view.shown);
    }
    case Qt::ToolTipRole: return toolTip(row, cell);
    case Qt::TextAlignmentRole: return QVariant(Qt::AlignRight | Qt::AlignVCenter);
    case Qt::AccessibleTextRole: {
        QStringList words{fromUtf8(m_session.job().member(cell.member).mark), wordsOf(q.what.empty() ? q.name : q.what)};
        if (row.sort == GridRow::Sort::Case) words << caseLabel(row);
        const QString shown = checkData(row, cell, Qt::DisplayRole).toString();
        if (check) {
            if (!shown.isEmpty()) words << tr("utilisation %1").arg(shown);
            const QVariant state = checkData(row, cell, CheckRole);
            if (state.isValid()) words << checkWord(static_cast<CheckView::State>(state.toInt()));
        } else {
            words << shownOf(row, cell) +
                         (view.state == eval::State::Known && !q.unit.shown.empty() ? QStringLiteral(" ") + fromUtf8(q.unit.shown) : QString());
        }
        if (formOf(cell) == Form::Linked) words << tr("taken from %1").arg(fromUtf8(view.statedText));
        if (tickOf(cell) == Tick::Current) words << tr("ticked");
        if (tickOf(cell) == Tick::OutOfDate) words << tr("its tick is out of date");
        if (remarkOf(cell) == Remark::Open) words << tr("a remark is open");
        if (m_session.outOfDate(cell)) words << tr("out of date: being worked out anew");
        if (kept() != m_refused.end()) words << tr("a text was refused here: %1").arg(kept()->second.why.message);
        return words.join(QStringLiteral(", "));
    }
    case StateRole: return static_cast<int>(view.state);
    case FormRole: return static_cast<int>(formOf(cell));
    case ChangedRole: return m_session.changed(cell);
    case OldRole: return m_session.oldShown(cell);
    case ReasonRole: return wordsOf(view.reason);
    case LinkRole: return formOf(cell) == Form::Linked ? fromUtf8(view.statedText) : QString();
    case TagRole: return tagWord(q.tag);
    case TickRole: return static_cast<int>(tickOf(cell));
    case RemarkRole: return static_cast<int>(remarkOf(cell));
    case RemarkTextRole: return remarkText(cell);
    case RefusedRole: return kept() != m_refused.end() ? QVariant(kept()->second.typed) : QVariant();
    case RefusalRole: {
        const auto k = kept();
        if (k == m_refused.end()) return {};
        return k->second.why.mend.isEmpty() ? k->second.why.message : tr("%1\nmend: %2").arg(k->second.why.message, k->second.why.mend);
    }
    default: return {};
    }
}

/// A heading says in each member how the weightiest check of its part stands, or that the part does not apply.
QVariant GridModel::partData(const GridRow& row, std::size_t member, int role) const {
    if (!m_session.hasSheet(member) || row.sort != GridRow::Sort::Part) return {};
    const meaning::Part& part = sheet()->parts[row.part];
    if (role == Qt::DisplayRole || role == Qt::AccessibleTextRole || role == Qt::ToolTipRole) {
        if (part.condition.valid()) {
            const eval::Value& on = m_session.job().value(member, part.condition);
            if (on.known() && on.one == 0.0 && !part.hasOtherwise) return tr("does not apply");
        }
        if (role == Qt::DisplayRole) return {};
    }
    if (role == OutOfDateRole) {
        const auto& checks = m_session.job().member(member).checks;
        return std::any_of(checks.begin(), checks.end(), [&](const CheckView& c) {
            return m_session.job().sheet(member).at(c.id).part == row.part && m_session.outOfDate(CellId{member, c.id});
        });
    }
    const CheckView* worst = nullptr;
    for (const CheckView& c : m_session.job().member(member).checks) {
        if (m_session.job().sheet(member).at(c.id).part != row.part) continue;
        const int more = worst == nullptr ? 1 : weight(c.state) - weight(worst->state);
        if (more > 0 || (more == 0 && c.utilisation.value_or(0.0) > worst->utilisation.value_or(0.0))) worst = &c;
    }
    if (worst == nullptr) return {};
    switch (role) {
    case CheckRole: return static_cast<int>(worst->state);
    case UtilisationRole: return worst->utilisation ? QVariant(*worst->utilisation) : QVariant();
    case Qt::ToolTipRole:
    case Qt::AccessibleTextRole: return QStringLiteral("%1: %2").arg(wordsOf(worst->what.empty() ? worst->name : worst->what), checkWord(worst->state));
    default: return {};
    }
}

QString GridModel::checkWord(job::CheckView::State state) {
    switch (state) {
    case CheckView::State::Passes: return tr("OK");
    case CheckView::State::Fails: return tr("FAILS");
    case CheckView::State::NotProven: return tr("NOT PROVEN");
    case CheckView::State::NotComputed: return tr("NOT COMPUTED");
    case CheckView::State::NotApplicable: return tr("does not apply");
    }
    return {};
}

QString GridModel::verdictWord(job::Verdict verdict) {
    switch (verdict) {
    case job::Verdict::Ok: return tr("OK");
    case job::Verdict::Fails: return tr("FAILS");
    case job::Verdict::NotProven: return tr("NOT PROVEN");
    case job::Verdict::NotComputed: return tr("NOT COMPUTED");
    }
    return {};
}

QVariant GridModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation != Qt::Horizontal) return {};
    if (section < FirstMember) {
        if (role != Qt::DisplayRole && role != Qt::AccessibleTextRole) return {};
        switch (section) {
        case SymbolColumn: return tr("Symbol");
        case WhatColumn: return tr("What it is");
        case UnitColumn: return tr("Unit");
        default: return {};
        }
    }
    const auto member = memberAt(section);
    if (!member) return {};
    const job::MemberView& view = m_session.job().member(*member);
    const QString count = fromUtf8(units::showNumber(view.count, units::Unit{}));
    switch (role) {
    case Qt::DisplayRole: return fromUtf8(view.mark);
    case CountRole: return count;
    case PurposeRole: return fromUtf8(view.purpose);
    case VerdictRole: m_told[*member] = {view.verdict, m_session.outOfDate(*member)}; return static_cast<int>(view.verdict);
    case OutOfDateRole: return m_session.outOfDate(*member);
    case Qt::AccessibleTextRole:
        if (m_session.outOfDate(*member)) return tr("member %1, %2 off, %3, being worked out anew").arg(fromUtf8(view.mark), count, fromUtf8(view.purpose));
        return tr("member %1, %2 off, %3, %4").arg(fromUtf8(view.mark), count, fromUtf8(view.purpose), verdictWord(view.verdict));
    case Qt::ToolTipRole: {
        QStringList lines{tr("%1: %2").arg(fromUtf8(view.mark), verdictWord(view.verdict))};
        if (m_session.outOfDate(*member))
            lines.first() = tr("%1: being worked out anew; before the edit %2").arg(fromUtf8(view.mark), verdictWord(view.verdict));
        if (!view.purpose.empty()) lines << fromUtf8(view.purpose);
        for (const std::string& reason : view.reasons) lines << wordsOf(reason);
        for (const std::string& row : view.differs) lines << tr("differs from the ready sheet: %1").arg(fromUtf8(row));
        return lines.join(QLatin1Char('\n'));
    }
    default: return {};
    }
}

} // namespace spanwright::models
