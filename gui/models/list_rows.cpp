// SPDX-License-Identifier: MIT
#include "gui/models/list_rows.h"

#include <QRegularExpression>

#include <algorithm>
#include <utility>

#include "engine/base/text.h"
#include "engine/syntax/formula.h"
#include "engine/units/format.h"
#include "engine/units/unit.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::models {

namespace {

/// Reads another value instead of being one.
bool readsLikeLink(const std::string& text) {
    std::vector<syntax::Complaint> complaints;
    const syntax::Formula f = syntax::readFormula(text, complaints);
    return complaints.empty() && std::any_of(f.nodes.begin(), f.nodes.end(),
                                             [](const syntax::Node& n) { return n.kind == syntax::NodeKind::Name || n.kind == syntax::NodeKind::Field; });
}

/// What is written for what was typed: a number with a decimal comma is written with a point.
std::string writtenIn(const job::ListView::Column& column, const std::string& typed) {
    if (column.text || typed.find(',') == std::string::npos) return typed;
    const auto unit = units::readUnit(column.unit);
    const units::Unit assumed = column.unit.empty() || !unit.ok() ? units::Unit{} : unit.value();
    const auto read = units::readValue(typed, &assumed);
    if (!read.ok()) return typed;
    // A bare number stays one: the head states its unit.
    const auto bare = units::readValue(typed);
    if (bare.ok() && bare.value().unit.shown.empty()) return units::writeValue(bare.value().si, units::Unit{});
    return units::writeValue(read.value().si, read.value().unit);
}

} // namespace

const std::string& whatWritten(const meaning::Sheet& sheet, const meaning::Quantity& quantity) {
    if (!quantity.what.empty() || quantity.kind != meaning::Kind::List) return quantity.what;
    for (const meaning::Quantity& q : sheet.quantities)
        if (q.kind == meaning::Kind::Each && q.list == quantity.id && !q.what.empty()) return q.what;
    return quantity.what;
}

QString whatItIs(const meaning::Sheet& sheet, const meaning::Quantity& quantity) { return wordsOf(whatWritten(sheet, quantity)); }

ListRows::ListRows(JobSession& session, CellId cell, QObject* parent)
    : QAbstractTableModel(parent), m_session(session), m_mark(session.job().member(cell.member).mark), m_name(session.quantity(cell).name),
      m_what(whatItIs(session.job().sheet(cell.member), session.quantity(cell))),
      m_view(session.job().list(cell.member, cell.quantity).value_or(job::ListView())), m_kept(m_view.rows.size(), Line(m_view.columns.size())),
      m_told(m_view.rows), m_words(m_view.columns.size()) {
    takeUnits(session.quantity(cell));
    readWords(session.job().sheet(cell.member));
    connect(&session, &JobSession::settled, this, &ListRows::follow);
}

/// A head in the job need not repeat the units of the sheet: they hold all the same.
void ListRows::takeUnits(const meaning::Quantity& list) {
    if (!list.table) return;
    for (job::ListView::Column& c : m_view.columns)
        if (const auto at = list.table->column(c.name); at && c.unit.empty() && !list.table->columns[*at].text) c.unit = list.table->columns[*at].unit.ascii;
}

/// Texts that rows of the sheet compare a column with: `ly.is == "joists"`. What a requirement lists comes first, in its order.
void ListRows::readWords(const meaning::Sheet& sheet) {
    if (!sheet.document) return;
    QStringList walkers{fromUtf8(m_name)};
    for (const meaning::Quantity& q : sheet.quantities)
        if (q.kind == meaning::Kind::Each && q.list.valid() && sheet.at(q.list).name == m_name) walkers << fromUtf8(q.name);
    for (std::size_t c = 0; c < m_view.columns.size(); ++c) {
        if (!m_view.columns[c].text) continue;
        const QRegularExpression compared(QStringLiteral("\\b(?:%1)\\.%2\\s*==\\s*\"([^\"]*)\"")
                                              .arg(walkers.join(QLatin1Char('|')), QRegularExpression::escape(fromUtf8(m_view.columns[c].name))),
                                          QRegularExpression::UseUnicodePropertiesOption);
        for (const bool requirements : {true, false})
            for (const auto& row : sheet.document->rows()) {
                if ((row.kind == syntax::RowKind::Require) != requirements) continue;
                if (row.kind == syntax::RowKind::Note || row.kind == syntax::RowKind::Comment) continue;
                auto found = compared.globalMatch(fromUtf8(row.text));
                while (found.hasNext())
                    if (const QString word = found.next().captured(1); !word.isEmpty() && !m_words[c].contains(word)) m_words[c] << word;
            }
    }
}

std::optional<job::ListView> ListRows::asInJob() const {
    if (!m_session.isOpen()) return {};
    const auto cell = m_session.find(m_mark, m_name);
    return cell ? m_session.job().list(cell->member, cell->quantity) : std::nullopt;
}

/// The list was changed elsewhere.
void ListRows::follow() {
    if (m_session.isPending() || isWaiting()) return;
    const auto now = asInJob();
    if (!now || now->columns.size() != m_view.columns.size()) return;
    m_view.stated = now->stated;
    if (now->rows == m_view.rows) {
        m_told = m_view.rows;
        return;
    }
    beginResetModel();
    m_view = *now;
    if (const auto cell = m_session.find(m_mark, m_name)) takeUnits(m_session.quantity(*cell));
    m_told = m_view.rows;
    m_kept.assign(m_view.rows.size(), Line(m_view.columns.size()));
    endResetModel();
}

bool ListRows::isWaiting() const {
    if (m_told != m_view.rows) return true;
    return std::any_of(m_kept.begin(), m_kept.end(),
                       [](const Line& line) { return std::any_of(line.begin(), line.end(), [](const auto& k) { return k.has_value(); }); });
}

QVariant ListRows::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const auto r = static_cast<std::size_t>(index.row()), c = static_cast<std::size_t>(index.column());
    const std::optional<Kept>& kept = m_kept[r][c];
    const QString text = kept ? kept->typed : fromUtf8(m_view.rows[r][c]);
    const auto& column = m_view.columns[c];
    switch (role) {
    case Qt::DisplayRole:
    case Qt::EditRole: return text;
    case Qt::TextAlignmentRole: return static_cast<int>((column.text || column.key ? Qt::AlignLeft : Qt::AlignRight) | Qt::AlignVCenter);
    case RefusalRole:
    case Qt::ToolTipRole: return kept ? kept->why : QString();
    case Qt::AccessibleTextRole: {
        const QString words = QStringLiteral("%1, %2 %3").arg(fromUtf8(column.name), text, fromUtf8(column.unit)).trimmed();
        return kept ? tr("%1, refused: %2").arg(words, kept->why) : words;
    }
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
        return wordsOf(read.error().message);
    }
    if (read.value().unit.dimension == assumed.dimension) return {};
    return tr("\"%1\" is not in %2").arg(fromUtf8(text), c.unit.empty() ? tr("plain numbers") : fromUtf8(c.unit));
}

bool ListRows::setData(const QModelIndex& index, const QVariant& value, int role) {
    if (role != Qt::EditRole || !checkIndex(index, CheckIndexOption::IndexIsValid)) return false;
    const auto r = static_cast<std::size_t>(index.row()), c = static_cast<std::size_t>(index.column());
    const QString typed = value.toString().trimmed();
    std::string& field = m_view.rows[r][c];
    std::optional<Kept>& kept = m_kept[r][c];
    if (toUtf8(typed) == field) {
        if (kept) {
            kept.reset();
            Q_EMIT dataChanged(index, index);
        }
        return true;
    }
    const QString why = misfit(index.column(), toUtf8(typed));
    if (!why.isEmpty()) {
        kept = Kept{typed, why};
        Q_EMIT dataChanged(index, index);
        Q_EMIT refused(index, why);
        return false;
    }
    kept.reset();
    field = writtenIn(m_view.columns[c], toUtf8(typed));
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

std::vector<std::string> ListRows::freshRow(int at) const {
    std::vector<std::string> out;
    for (std::size_t c = 0; c < m_view.columns.size(); ++c) {
        const auto& column = m_view.columns[c];
        const auto taken = [&](const std::string& word) {
            return std::any_of(m_view.rows.begin(), m_view.rows.end(), [&](const auto& row) { return row[c] == word; });
        };
        if (column.key && column.unit.empty()) {
            // "layer 3": a name that no other row has.
            std::size_t n = m_view.rows.size() + 1;
            while (taken(column.name + " " + std::to_string(n))) ++n;
            out.push_back(column.name + " " + std::to_string(n));
        } else if (column.text) {
            const bool above = at > 0 && !m_view.rows[static_cast<std::size_t>(at) - 1][c].empty();
            const QStringList& known = m_words[c];
            out.push_back(!known.isEmpty() ? toUtf8(known.first()) : above ? m_view.rows[static_cast<std::size_t>(at) - 1][c] : std::string());
        } else {
            out.emplace_back("0");
        }
    }
    return out;
}

bool ListRows::insertRows(int row, int count, const QModelIndex& parent) {
    if (parent.isValid() || row < 0 || row > rowCount() || count < 1) return false;
    beginInsertRows({}, row, row + count - 1);
    for (int i = 0; i < count; ++i) {
        m_view.rows.insert(m_view.rows.begin() + row + i, freshRow(row + i));
        m_kept.insert(m_kept.begin() + row + i, Line(m_view.columns.size()));
    }
    endInsertRows();
    return true;
}

bool ListRows::removeRows(int row, int count, const QModelIndex& parent) {
    if (parent.isValid() || row < 0 || count < 1 || row + count > rowCount()) return false;
    beginRemoveRows({}, row, row + count - 1);
    m_view.rows.erase(m_view.rows.begin() + row, m_view.rows.begin() + row + count);
    m_kept.erase(m_kept.begin() + row, m_kept.begin() + row + count);
    endRemoveRows();
    return true;
}

void ListRows::moveRow(int row, int by) {
    const int to = row + by;
    if (row < 0 || row >= rowCount() || to < 0 || to >= rowCount() || by == 0) return;
    beginMoveRows({}, row, row, {}, by > 0 ? to + 1 : to);
    const auto move = [row, to](auto& list) {
        auto moved = std::move(list[static_cast<std::size_t>(row)]);
        list.erase(list.begin() + row);
        list.insert(list.begin() + to, std::move(moved));
    };
    move(m_view.rows);
    move(m_kept);
    endMoveRows();
}

Outcome ListRows::state() {
    for (std::size_t r = 0; r < m_view.rows.size(); ++r)
        for (std::size_t c = 0; c < m_view.columns.size(); ++c) {
            const QString why = m_kept[r][c] ? m_kept[r][c]->why : misfit(static_cast<int>(c), m_view.rows[r][c]);
            if (!why.isEmpty()) return Refusal{tr("row %1: %2").arg(r + 1).arg(why), tr("fill in the field, or take the row out")};
        }
    if (m_told == m_view.rows) return {};
    // Taken as told before it is: the session says at once that it has changed.
    std::vector<std::vector<std::string>> before = std::exchange(m_told, m_view.rows);
    const Outcome outcome = m_session.edit(tr("rows of %1.%2").arg(fromUtf8(m_mark), fromUtf8(m_name)),
                                           [this](job::Job& job) { return job.setListRows(m_mark, m_name, m_view.rows); });
    if (outcome)
        m_told = std::move(before);
    else
        m_view.stated = true;
    return outcome;
}

Outcome ListRows::takeBack() {
    // The sheet's own rows are followed, whatever waits here.
    m_told = m_view.rows;
    m_kept.assign(m_view.rows.size(), Line(m_view.columns.size()));
    return m_session.edit(tr("%1.%2 as in the sheet").arg(fromUtf8(m_mark), fromUtf8(m_name)), [this](job::Job& job) { return job.takeBack(m_mark, m_name); });
}

} // namespace spanwright::models
