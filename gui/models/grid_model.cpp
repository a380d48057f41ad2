// SPDX-License-Identifier: MIT
#include "gui/models/grid_model.h"

#include <algorithm>
#include <utility>

#include "gui/models/short_text.h"
#include "gui/models/text.h"

namespace spanwright::models {

GridModel::GridModel(JobSession& session, QObject* parent) : QAbstractTableModel(parent), m_session(session) {
    connect(&session, &JobSession::reset, this, [this] {
        beginResetModel();
        // What was refused in one job is nothing of another.
        if (std::exchange(m_path, m_session.path()) != m_session.path()) m_refused.clear();
        rebuild();
        endResetModel();
        Q_EMIT groupChanged();
    });
    connect(&session, &JobSession::cellsChanged, this, &GridModel::cellsChanged);
    connect(&session, &JobSession::settled, this, &GridModel::tellRewritten);
    m_path = session.path();
    if (session.isOpen()) rebuild();
}

// ---- what is shown

const SheetGroup* GridModel::groupNow() const {
    const auto& groups = m_session.groups();
    return m_group < groups.size() ? &groups[m_group] : nullptr;
}

const meaning::Sheet* GridModel::sheet() const {
    const SheetGroup* g = groupNow();
    if (g == nullptr || !m_session.hasSheet(g->members.front())) return nullptr;
    return &m_session.job().sheet(g->members.front());
}

void GridModel::rebuild() {
    const auto& groups = m_session.groups();
    const auto same = std::find_if(groups.begin(), groups.end(), [this](const SheetGroup& g) { return g.name == m_groupName; });
    m_group = same != groups.end() ? static_cast<std::size_t>(same - groups.begin()) : 0;
    m_groupName = groups.empty() ? QString() : groups[m_group].name;
    m_symbols.clear();
    m_all.clear();
    if (const meaning::Sheet* s = sheet()) {
        m_all = allRows(*s);
        m_symbols.reserve(s->quantities.size());
        for (const meaning::Quantity& q : s->quantities) m_symbols.push_back(meaning::typesetName(q.name));
    }
    m_rows = chosen();
}

void GridModel::setGroup(std::size_t group) {
    if (group == m_group || group >= m_session.groups().size()) return;
    Q_EMIT aboutToLeave();
    if (group >= m_session.groups().size()) return; // an edit taken on leaving took the sheet away
    beginResetModel();
    m_groupName = m_session.groups()[group].name;
    rebuild();
    endResetModel();
    Q_EMIT groupChanged();
}

void GridModel::setFilter(Filter filter) {
    if (filter == m_filter) return;
    m_filter = filter;
    relay(true);
}

void GridModel::setFolded(int row, bool folded) {
    const GridRow& r = rowAt(row);
    const QString title = fromUtf8(sheet()->parts[r.part].title);
    if (folded == (m_folded.count(title) > 0)) return;
    if (folded)
        m_folded.insert(title);
    else
        m_folded.erase(title);
    relay();
    for (int c = 0; c < columnCount(); ++c) Q_EMIT dataChanged(index(row, c), index(row, c));
}

void GridModel::setAllFolded(bool folded) {
    m_folded.clear();
    if (folded)
        for (const GridRow& r : m_all)
            if (r.sort == GridRow::Sort::Part) m_folded.insert(fromUtf8(sheet()->parts[r.part].title));
    relay();
    if (rowCount() > 0) Q_EMIT dataChanged(index(0, 0), index(rowCount() - 1, columnCount() - 1));
}

void GridModel::setOpen(int row, bool open) {
    const meaning::Quantity* q = quantityOf(row);
    if (q == nullptr || open == (m_open.count(q->name) > 0)) return;
    if (open)
        m_open.insert(q->name);
    else
        m_open.erase(q->name);
    relay();
    Q_EMIT dataChanged(index(row, SymbolColumn), index(row, SymbolColumn));
}

std::size_t GridModel::caseCount(meaning::QuantityId id) const {
    std::size_t most = 0;
    for (const std::size_t member : groupNow()->members) {
        const job::CheckView* check = m_session.check({member, id});
        most = std::max(most, check != nullptr ? check->cases.size() : m_session.job().value(member, id).many.size());
    }
    return most;
}

bool GridModel::wanted(const GridRow& row) const {
    const meaning::Quantity& q = sheet()->at(row.quantity);
    const auto& members = groupNow()->members;
    switch (m_filter) {
    case Filter::All: return true;
    case Filter::Checks: return q.kind == meaning::Kind::Check || q.kind == meaning::Kind::Require;
    case Filter::ToState: return q.kind == meaning::Kind::Ask || (q.kind == meaning::Kind::Choose && !q.defaultRow);
    case Filter::Differs: {
        const QString first = shownOf(row, {members.front(), q.id});
        return std::any_of(members.begin() + 1, members.end(), [&](std::size_t m) { return shownOf(row, {m, q.id}) != first; });
    }
    case Filter::Changed: return std::any_of(members.begin(), members.end(), [&](std::size_t m) { return m_session.changed({m, q.id}); });
    case Filter::Unticked:
        return std::any_of(members.begin(), members.end(), [&](std::size_t m) {
            return m_session.view({m, q.id}).state == eval::State::Known && tickOf({m, q.id}) == Tick::None;
        });
    case Filter::TickOld:
        return std::any_of(members.begin(), members.end(), [&](std::size_t m) {
            const Tick tick = tickOf({m, q.id});
            return tick == Tick::OutOfDate || tick == Tick::Unknown;
        });
    case Filter::Remarked: return std::any_of(members.begin(), members.end(), [&](std::size_t m) { return remarkOf({m, q.id}) != Remark::None; });
    case Filter::Rewritten: return !rewritten(q).isEmpty();
    }
    return true;
}

std::vector<GridRow> GridModel::chosen() const {
    if (sheet() == nullptr) return {};
    RowChoice choice;
    for (std::uint32_t i = 0; i < sheet()->parts.size(); ++i)
        if (m_folded.count(fromUtf8(sheet()->parts[i].title)) > 0 && !sheet()->parts[i].title.empty()) choice.folded.insert(i);
    if (m_filter != Filter::All) choice.wanted = [this](const GridRow& r) { return wanted(r); };
    choice.cases = [this](const GridRow& r) {
        const meaning::Quantity& q = sheet()->at(r.quantity);
        return m_open.empty() || q.axes.empty() || m_open.count(q.name) == 0 ? 0U : static_cast<std::uint32_t>(caseCount(q.id));
    };
    return chosenRows(m_all, choice);
}

/// Brings the rows shown to what is wanted now, step by step, so that selections and scrolling stand.
void GridModel::relay(bool byFilter) {
    Q_EMIT aboutToRelay(); // what is edited on leaving a cell changes what is chosen
    std::vector<GridRow> after = chosen();
    for (const RowStep& step : stepsBetween(m_rows, after)) {
        const auto at = m_rows.begin() + static_cast<std::ptrdiff_t>(step.first);
        const int first = static_cast<int>(step.first), last = static_cast<int>(step.first + step.count) - 1;
        if (step.insert) {
            beginInsertRows({}, first, last);
            const auto from = after.begin() + static_cast<std::ptrdiff_t>(step.from);
            m_rows.insert(at, from, from + static_cast<std::ptrdiff_t>(step.count));
            endInsertRows();
        } else {
            beginRemoveRows({}, first, last);
            m_rows.erase(at, at + static_cast<std::ptrdiff_t>(step.count));
            endRemoveRows();
        }
    }
    Q_EMIT relaid(byFilter);
}

void GridModel::cellsChanged(const std::vector<CellId>& cells) {
    const SheetGroup* g = groupNow();
    if (g == nullptr || sheet() == nullptr) return;
    // What cells show decides what these filters and open cases want.
    if ((m_filter != Filter::All && m_filter != Filter::Checks && m_filter != Filter::ToState) || !m_open.empty()) relay();

    std::vector<std::vector<char>> touched(g->members.size());
    for (const CellId& cell : cells) {
        const auto at = std::find(g->members.begin(), g->members.end(), cell.member);
        if (at == g->members.end()) continue;
        auto& column = touched[static_cast<std::size_t>(at - g->members.begin())];
        column.resize(sheet()->quantities.size(), 0);
        column[cell.quantity.index()] = 1;
    }
    for (std::size_t c = 0; c < touched.size(); ++c) {
        if (touched[c].empty()) {
            // No value of its own changed, but a member that it takes values from may have ceased to be proven.
            const auto told = m_told.find(g->members[c]);
            const int column = FirstMember + static_cast<int>(c);
            if (told != m_told.end() && told->second != std::pair(m_session.job().member(g->members[c]).verdict, m_session.outOfDate(g->members[c])))
                Q_EMIT headerDataChanged(Qt::Horizontal, column, column);
            continue;
        }
        // A heading sums up the checks of its part.
        std::set<std::uint32_t> parts;
        for (const meaning::Quantity& q : sheet()->quantities)
            if (touched[c][q.id.index()] != 0 && (q.kind == meaning::Kind::Check || q.kind == meaning::Kind::Require || q.kind == meaning::Kind::Condition)) {
                parts.insert(q.part);
                if (q.kind == meaning::Kind::Condition)
                    for (std::uint32_t p = 0; p < sheet()->parts.size(); ++p)
                        if (sheet()->parts[p].condition == q.id) parts.insert(p);
            }
        const int column = FirstMember + static_cast<int>(c);
        int first = -1;
        for (int r = 0; r <= rowCount(); ++r) {
            bool hit = false;
            if (r < rowCount()) {
                const GridRow& row = rowAt(r);
                hit = row.quantity.valid() ? touched[c][row.quantity.index()] != 0 : row.sort == GridRow::Sort::Part && parts.count(row.part) > 0;
            }
            if (hit && first < 0) first = r;
            if (!hit && first >= 0) {
                Q_EMIT dataChanged(index(first, column), index(r - 1, column));
                first = -1;
            }
        }
        Q_EMIT headerDataChanged(Qt::Horizontal, column, column);
    }
}

/// A row's head says whether it is as in the ready sheet; an edit may change that and no value.
void GridModel::tellRewritten() {
    const SheetGroup* g = groupNow();
    std::vector<QString> now;
    if (g != nullptr && sheet() != nullptr && !m_session.job().member(g->members.front()).differs.empty())
        for (const meaning::Quantity& q : sheet()->quantities) now.push_back(rewritten(q));
    if (now == m_rewritten) return;
    const std::vector<QString> before = std::exchange(m_rewritten, std::move(now));
    const auto at = [](const std::vector<QString>& list, std::size_t i) { return i < list.size() ? list[i] : QString(); };
    if (m_filter == Filter::Rewritten) relay();
    for (int r = 0; r < rowCount(); ++r) {
        const GridRow& row = rowAt(r);
        if (row.sort != GridRow::Sort::Value || at(before, row.quantity.index()) == at(m_rewritten, row.quantity.index())) continue;
        Q_EMIT dataChanged(index(r, WhatColumn), index(r, WhatColumn));
    }
}

// ---- places

std::optional<std::size_t> GridModel::memberAt(int column) const {
    const SheetGroup* g = groupNow();
    if (g == nullptr || column < FirstMember || column >= columnCount()) return {};
    return g->members[static_cast<std::size_t>(column - FirstMember)];
}

std::optional<CellId> GridModel::cellAt(const QModelIndex& index) const {
    const auto member = index.isValid() ? memberAt(index.column()) : std::nullopt;
    if (!member) return {};
    const GridRow& row = rowAt(index.row());
    if (!row.quantity.valid() || !m_session.hasSheet(*member)) return {};
    return CellId{*member, row.quantity};
}

std::optional<std::size_t> GridModel::caseAt(int row) const {
    const GridRow& r = rowAt(row);
    return r.sort == GridRow::Sort::Case ? std::optional<std::size_t>(r.caseIndex) : std::nullopt;
}

QModelIndex GridModel::indexOf(CellId cell) const {
    const SheetGroup* g = groupNow();
    if (g == nullptr) return {};
    const auto member = std::find(g->members.begin(), g->members.end(), cell.member);
    if (member == g->members.end()) return {};
    const auto row =
        std::find_if(m_rows.begin(), m_rows.end(), [&](const GridRow& r) { return r.sort == GridRow::Sort::Value && r.quantity == cell.quantity; });
    if (row == m_rows.end()) return {};
    return index(static_cast<int>(row - m_rows.begin()), FirstMember + static_cast<int>(member - g->members.begin()));
}

QModelIndex GridModel::reveal(CellId cell) {
    const auto& groups = m_session.groups();
    for (std::size_t i = 0; i < groups.size(); ++i)
        if (std::find(groups[i].members.begin(), groups[i].members.end(), cell.member) != groups[i].members.end()) setGroup(i);
    if (QModelIndex at = indexOf(cell); at.isValid()) return at;
    if (sheet() == nullptr || cell.quantity.index() >= sheet()->quantities.size()) return {};
    const meaning::Quantity& q = sheet()->at(cell.quantity);
    if (q.part < sheet()->parts.size()) m_folded.erase(fromUtf8(sheet()->parts[q.part].title));
    if (m_filter != Filter::All && !wanted({GridRow::Sort::Value, 0, q.part, q.id, 0})) m_filter = Filter::All;
    relay();
    return indexOf(cell);
}

const meaning::Quantity* GridModel::quantityOf(int row) const {
    const GridRow& r = rowAt(row);
    return r.quantity.valid() ? &sheet()->at(r.quantity) : nullptr;
}

const meaning::Box* GridModel::symbol(int row) const {
    const GridRow& r = rowAt(row);
    return r.sort == GridRow::Sort::Value ? &m_symbols[r.quantity.index()] : nullptr;
}

GridModel::Key GridModel::keyOf(CellId cell) const { return {m_session.job().member(cell.member).mark, m_session.quantity(cell).name}; }

void GridModel::dropRefusal(CellId cell) {
    if (m_refused.erase(keyOf(cell)) == 0) return;
    if (const QModelIndex at = indexOf(cell); at.isValid()) Q_EMIT dataChanged(at, at);
}

QStringList GridModel::notTaken() const {
    QStringList out;
    for (const auto& [key, kept] : m_refused) {
        if (m_session.isOpen() && m_session.find(key.first, key.second))
            out << tr("%1.%2, \"%3\"").arg(fromUtf8(key.first), fromUtf8(key.second), shortened(kept.typed, 60));
    }
    return out;
}

// ---- shape

int GridModel::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : static_cast<int>(m_rows.size()); }

int GridModel::columnCount(const QModelIndex& parent) const {
    if (parent.isValid()) return 0;
    const SheetGroup* g = groupNow();
    return FirstMember + (g != nullptr ? static_cast<int>(g->members.size()) : 0);
}

bool GridModel::settable(meaning::Kind kind) const { return kind == meaning::Kind::Ask || kind == meaning::Kind::Given || kind == meaning::Kind::Choose; }

Qt::ItemFlags GridModel::flags(const QModelIndex& index) const {
    if (!index.isValid()) return {};
    Qt::ItemFlags flags = Qt::ItemIsEnabled | Qt::ItemIsSelectable | Qt::ItemNeverHasChildren;
    const GridRow& row = rowAt(index.row());
    if (row.sort == GridRow::Sort::Value && cellAt(index) && settable(sheet()->at(row.quantity).kind)) flags |= Qt::ItemIsEditable;
    return flags;
}

// ---- edits

bool GridModel::setData(const QModelIndex& index, const QVariant& value, int role) {
    if (role != Qt::EditRole || (flags(index) & Qt::ItemIsEditable) == 0) return false;
    const CellId cell = *cellAt(index);
    const QString typed = value.toString();
    // Nothing typed over what is written is no edit.
    if (typed.trimmed() == data(index, Qt::EditRole).toString().trimmed() && m_refused.count(keyOf(cell)) == 0) return true;
    const Key key = keyOf(cell);
    const Outcome outcome = m_session.setValue(cell, typed);
    if (!outcome) {
        if (m_refused.erase(key) > 0) {
            const QModelIndex at = indexOf(cell);
            if (at.isValid()) Q_EMIT dataChanged(at, at);
        }
        return true;
    }
    m_refused[key] = {typed, *outcome};
    Q_EMIT dataChanged(index, index);
    Q_EMIT refused(index, data(index, RefusalRole).toString());
    return false;
}

Outcome GridModel::copyToRight(const QModelIndex& from) {
    const auto cell = cellAt(from);
    if (cell && rowAt(from.row()).sort == GridRow::Sort::Value && m_session.quantity(*cell).kind == meaning::Kind::List) return copyListToRight(from, *cell);
    if (!cell || (flags(from) & Qt::ItemIsEditable) == 0) return Refusal{tr("only a value that can be stated can be copied to the right"), {}};
    const QString text = m_session.typed(*cell).value_or(fromUtf8(m_session.view(*cell).statedText));
    std::vector<std::pair<CellId, QString>> values;
    for (int c = from.column() + 1; c < columnCount(); ++c)
        if (const auto to = cellAt(index(from.row(), c))) values.emplace_back(*to, text);
    if (values.empty()) return Refusal{tr("there is no member to the right"), {}};
    return m_session.setValues(values, tr("copy %1 to the right").arg(fromUtf8(m_session.quantity(*cell).name)));
}

Outcome GridModel::copyListToRight(const QModelIndex& from, CellId cell) {
    if (m_session.outOfDate(cell)) return Refusal{tr("the rows are being worked out anew"), tr("copy them when they are up to date")};
    const auto list = m_session.job().list(cell.member, cell.quantity);
    const std::string name = m_session.quantity(cell).name;
    std::vector<std::string> marks;
    for (int c = from.column() + 1; c < columnCount(); ++c)
        if (const auto to = cellAt(index(from.row(), c))) marks.push_back(m_session.job().member(to->member).mark);
    if (marks.empty() || !list) return Refusal{tr("there is no member to the right"), {}};
    const std::string path = toUtf8(m_session.path());
    return m_session.edit(tr("copy %1 to the right").arg(fromUtf8(name)), [&](job::Job& job) -> job::Job::Done {
        const std::string before = job.text(path).value_or(std::string());
        for (const std::string& mark : marks) {
            job::Job::Done done = list->stated ? job.setListRows(mark, name, list->rows) : job.takeBack(mark, name);
            if (done) continue;
            // All or none.
            (void)job.setText(path, before);
            return done;
        }
        return true;
    });
}

QString GridModel::copied(const QModelIndexList& indexes) const {
    if (indexes.isEmpty()) return {};
    QModelIndexList sorted = indexes;
    std::sort(sorted.begin(), sorted.end());
    int left = sorted.front().column(), right = left;
    for (const QModelIndex& i : sorted) {
        left = std::min(left, i.column());
        right = std::max(right, i.column());
    }
    QStringList lines;
    int row = -1;
    QStringList fields;
    for (const QModelIndex& i : sorted) {
        if (i.row() != row) {
            if (row >= 0) lines << fields.join(QLatin1Char('\t'));
            row = i.row();
            fields = QStringList();
            for (int c = left; c <= right; ++c) fields << QString();
        }
        const auto cell = cellAt(i);
        // With its unit, so that it reads back as the same value anywhere.
        QString text = cell && rowAt(i.row()).sort == GridRow::Sort::Value ? data(i, Qt::EditRole).toString() : data(i, Qt::DisplayRole).toString();
        fields[i.column() - left] = text.replace(QLatin1Char('\t'), QLatin1Char(' ')).replace(QLatin1Char('\n'), QLatin1Char(' '));
    }
    lines << fields.join(QLatin1Char('\t'));
    return lines.join(QLatin1Char('\n')) + QLatin1Char('\n');
}

Outcome GridModel::paste(const QModelIndex& at, const QString& text) {
    QStringList lines = text.split(QLatin1Char('\n'));
    if (!lines.isEmpty() && lines.last().isEmpty()) lines.removeLast();
    std::vector<std::pair<CellId, QString>> values;
    for (int r = 0; r < lines.size(); ++r) {
        const QStringList fields = lines[r].split(QLatin1Char('\t'));
        for (int c = 0; c < fields.size(); ++c) {
            const QString field = fields[c].trimmed();
            if (field.isEmpty()) continue;
            const QModelIndex to = index(at.row() + r, at.column() + c);
            if (!to.isValid())
                return Refusal{tr("the text has more rows or columns than there are below and to the right"), tr("begin further up or to the left")};
            if ((flags(to) & Qt::ItemIsEditable) == 0) {
                // Worked values of a copied block come out by themselves.
                if (cellAt(to) && !settable(quantityOf(to.row())->kind)) continue;
                return Refusal{tr("\"%1\" would fall on a row that takes no value").arg(shortened(field, 80)),
                               tr("begin at the row that the first value belongs to")};
            }
            values.emplace_back(*cellAt(to), field);
        }
    }
    if (values.empty()) return Refusal{tr("there is nothing in the text that could be stated here"), {}};
    return m_session.setValues(values, tr("paste"));
}

} // namespace spanwright::models
