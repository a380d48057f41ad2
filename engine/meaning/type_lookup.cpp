// SPDX-License-Identifier: MIT
// Looking things up: fields of chosen and each rows, rows of tables by key, matrices, between two rows.
#include <algorithm>
#include <cmath>

#include "engine/base/text.h"
#include "engine/meaning/analysis.h"

namespace spanwright::meaning {

using diag::Code;
using syntax::Node;
using syntax::NodeKind;

namespace {

constexpr std::size_t kListed = 8;            ///< keys named in a message
constexpr std::size_t kMostSearched = 10'000; ///< rows of a table searched for what a text may have meant

std::string listed(const std::vector<std::string>& names) {
    std::string all;
    for (std::size_t i = 0; i < names.size() && i < kListed; ++i) all += (i == 0 ? "" : ", ") + names[i];
    if (names.size() > kListed) all += " ...";
    return all;
}

} // namespace

std::optional<std::uint32_t> SheetAnalysis::columnNamed(const Table& table, const Node& field) {
    if (const auto c = table.column(field.text)) return c;
    std::vector<std::string> names;
    for (const auto& column : table.columns) names.push_back(column.name);
    std::string mend = suggestion(field.text, names);
    if (mend.empty()) mend = "its columns are " + listed(names);
    fail(Code::UnknownColumn, field.mark.empty() ? field.span : field.mark, "table " + quoted(table.name) + " has no column " + quoted(field.text), mend);
    return {};
}

/// Stands for something of a row that is broken: its dimension is not known, and whoever needs it waits for
/// that row, which is never computed.
Typed SheetAnalysis::waitFor(QuantityId id, const Node& n) {
    Typed t;
    make(ExprKind::Quantity, n, t).quantity = id;
    t.wild = true;
    return t;
}

Typed SheetAnalysis::rowField(QuantityId id, const Node& n) {
    const Quantity& q = m_sheet.at(id);
    read(id);
    if (!q.table) return waitFor(id, n);
    const auto column = columnNamed(*q.table, n);
    if (!column) return wild(n);
    const Table::Column& c = q.table->columns[*column];
    Typed t;
    const SharedAxes axes = info(id).axes;
    Expr& e = make(q.kind == Kind::Each ? ExprKind::AxisField : ExprKind::ChoiceField, n, t);
    e.quantity = id;
    e.index = *column;
    e.axes = axes;
    if (c.text) {
        e.type = Type::Text;
    } else {
        e.dimension = m_interner.dimension(c.unit.dimension);
        e.tag = c.tag;
        t.factor = e.dimension.isNumber();
    }
    return t;
}

/// A misspelt key in a condition would quietly make it false for ever. A column may get more words when
/// its table grows, so there only a near miss is told, as a warning. A list is the member's to fill.
void SheetAnalysis::comparedWithText(Typed row, const std::string& text, base::ByteSpan where) {
    const Expr& e = at(row);
    const bool key = e.kind == ExprKind::ChoiceKey || e.kind == ExprKind::AxisKey;
    if (!key && e.kind != ExprKind::ChoiceField && e.kind != ExprKind::AxisField) return;
    const Quantity& q = m_sheet.at(e.quantity);
    if (!q.table || q.list.valid() || q.table->rowCount() > kMostSearched) return;
    const Table& table = *q.table;
    std::vector<std::string> known;
    if (key) {
        if (table.rowByLabel(text) || table.rowByText({text})) return;
        for (std::uint32_t r = 0; r < table.rowCount(); ++r) known.push_back(table.rowLabel(r));
    } else {
        const auto& cells = table.texts[e.index];
        if (std::find(cells.begin(), cells.end(), text) != cells.end()) return;
        known = cells;
        std::sort(known.begin(), known.end());
        known.erase(std::unique(known.begin(), known.end()), known.end());
    }
    std::string mend = suggestion(text, known);
    if (mend.empty() && !key) return; // a word that the table may yet get, not a misspelt one
    if (mend.empty()) mend = "it holds " + listed(known);
    const bool failedBefore = failed();
    const std::string column = key ? std::string() : table.columns[e.index].name;
    diag::Diagnostic& d = fail(Code::UnknownTableRow, where,
                               key ? "table " + quoted(table.name) + " has no row " + quoted(text)
                                   : "no row of table " + quoted(table.name) + " has " + quoted(text) + " as its " + quoted(column),
                               mend);
    if (key) return;
    d.severity = diag::Severity::Warning;
    if (!failedBefore) clearFailed();
}

Typed SheetAnalysis::tableNode(ExprKind kind, const Node& n, TableRow& t, const Table::Column& column, const std::vector<Typed>& keys) {
    Typed made;
    SharedAxes axes;
    for (const Typed& key : keys) axes = m_interner.joined(axes, at(key).axes);
    Expr& e = make(kind, n, made);
    e.table = t.id;
    e.axes = axes;
    if (t.list.valid()) {
        e.quantity = t.list;
        read(t.list);
    }
    if (column.text) {
        e.type = Type::Text;
    } else {
        e.dimension = m_interner.dimension(column.unit.dimension);
        e.tag = column.tag;
        made.factor = e.dimension.isNumber();
    }
    for (const Typed& key : keys) e.children.push_back(key.id);
    return made;
}

bool SheetAnalysis::fitKey(Typed key, base::ByteSpan where, const Table& table, std::uint32_t column) {
    if (key.wild) return true;
    asText(key);
    const Table::Column& c = table.columns[column];
    switch (at(key).type) {
    case Type::Text: return true; // compares with what is written, also in a column of numbers
    case Type::Number:
        if (!c.text) return wantDimension(key, m_interner.dimension(c.unit.dimension), c.unit.shown, where, "the key of " + quoted(table.name));
        fail(Code::TypeMismatch, where, "the keys of " + quoted(table.name) + " are texts, and this is a number",
             "write the key in double quotes, or use a chosen row");
        return false;
    default:
        fail(Code::TypeMismatch, where, "a condition cannot be the key of a table", "write a key in double quotes, a number, or use a chosen row");
        return false;
    }
}

Typed SheetAnalysis::lookupExact(TableRow& t, const Node& call, const Node& field) {
    if (!t.table) {
        m_cause = t.row;
        m_blamesElsewhere = true;
        setFailed();
        return wild(field);
    }
    const Table& table = *t.table;
    if (table.isMatrix) {
        fail(Code::TypeMismatch, field.mark, quoted(table.name) + " is a matrix and has no columns to name", "write " + table.name + "(row key, column key)");
        return wild(field);
    }
    std::vector<Typed> keys;
    for (syntax::NodeId child : call.children) keys.push_back(type(child));
    if (keys.size() != table.keys.size()) {
        std::string names;
        for (std::uint32_t k : table.keys) names += (names.empty() ? "" : ", ") + table.columns[k].name;
        fail(Code::ArgumentCount, call.mark,
             "table " + quoted(table.name) + " is looked up by " + names + ", and here " +
                 (keys.size() == 1 ? "is 1 key" : "are " + std::to_string(keys.size()) + " keys"),
             "write " + table.name + "(" + names + ")." + field.text);
        return wild(field);
    }
    bool constant = !t.list.valid();
    std::vector<std::string> texts;
    for (std::size_t k = 0; k < keys.size(); ++k) {
        if (!fitKey(keys[k], node(call.children[k]).span, table, table.keys[k])) return wild(field);
        constant = constant && at(keys[k]).kind == ExprKind::Constant && at(keys[k]).type == Type::Text;
        if (constant) texts.push_back(at(keys[k]).writtenText);
    }
    const auto column = columnNamed(table, field);
    if (!column) return wild(field);
    if (constant && !table.rowByText(texts)) {
        std::vector<std::string> labels;
        for (std::uint32_t r = 0; r < std::min(table.rowCount(), kMostSearched); ++r) labels.push_back(table.rowLabel(r));
        std::string label;
        for (const auto& text : texts) label += (label.empty() ? "" : ", ") + text;
        std::string mend = suggestion(label, labels);
        if (mend.empty()) mend = "its keys are " + listed(labels);
        fail(Code::UnknownTableRow, node(call.children[0]).span.joined(node(call.children.back()).span),
             "table " + quoted(table.name) + " has no row " + quoted(label), mend);
        return wild(field);
    }
    const Typed made = tableNode(ExprKind::TableField, field, t, table.columns[*column], keys);
    edit(made).index = *column;
    edit(made).how = Lookup::Exact;
    return made;
}

Typed SheetAnalysis::lookupMatrix(TableRow& t, const Node& call) {
    const Table& table = *t.table;
    std::vector<Typed> keys;
    for (syntax::NodeId child : call.children) keys.push_back(type(child));
    if (keys.size() != 2) {
        fail(Code::ArgumentCount, call.mark,
             "the matrix " + quoted(table.name) + " is looked up by 2 keys, and here " + (keys.size() == 1 ? "is 1" : "are " + std::to_string(keys.size())),
             "write " + table.name + "(row key, column key)");
        return wild(call);
    }
    const base::ByteSpan first = node(call.children[0]).span;
    const base::ByteSpan second = node(call.children[1]).span;
    if (table.keys.empty() || !fitKey(keys[0], first, table, table.keys[0])) return wild(call);
    if (!keys[1].wild) {
        asText(keys[1]);
        const bool numbers =
            std::all_of(table.columnKeys.begin(), table.columnKeys.end(), [](const std::string& head) { return base::readDouble(head).has_value(); });
        if (at(keys[1]).type == Type::Number && numbers) {
            if (!wantPureNumber(keys[1], second, "the column key of " + quoted(table.name))) return wild(call);
        } else if (at(keys[1]).type != Type::Text) {
            fail(Code::TypeMismatch, second,
                 "the columns of " + quoted(table.name) + " are named by texts, and this is " + (at(keys[1]).type == Type::Number ? "a number" : "a condition"),
                 "write the head of a column in double quotes: " + listed(table.columnKeys));
            return wild(call);
        }
    }
    if (at(keys[0]).kind == ExprKind::Constant && at(keys[0]).type == Type::Text && !table.rowByText({at(keys[0]).writtenText})) {
        std::vector<std::string> labels;
        for (std::uint32_t r = 0; r < std::min(table.rowCount(), kMostSearched); ++r) labels.push_back(table.rowLabel(r));
        std::string mend = suggestion(at(keys[0]).writtenText, labels);
        if (mend.empty()) mend = "its rows are " + listed(labels);
        fail(Code::UnknownTableRow, first, "the matrix " + quoted(table.name) + " has no row " + quoted(at(keys[0]).writtenText), mend);
        return wild(call);
    }
    if (at(keys[1]).kind == ExprKind::Constant && at(keys[1]).type == Type::Text &&
        std::find(table.columnKeys.begin(), table.columnKeys.end(), at(keys[1]).writtenText) == table.columnKeys.end()) {
        std::string mend = suggestion(at(keys[1]).writtenText, table.columnKeys);
        if (mend.empty()) mend = "its columns are " + listed(table.columnKeys);
        fail(Code::UnknownColumn, second, "the matrix " + quoted(table.name) + " has no column " + quoted(at(keys[1]).writtenText), mend);
        return wild(call);
    }
    Table::Column value;
    value.unit = table.matrixUnit;
    return tableNode(ExprKind::MatrixField, call, t, value, keys);
}

Typed SheetAnalysis::typeLookup(const Node& n, Lookup how) {
    const char* name = how == Lookup::Interpolate ? "interpolate" : "at_or_below";
    const auto wrongShape = [&](base::ByteSpan where) {
        fail(Code::ArgumentCount, where, quoted(name) + " takes a column of a table and a key", "write it like " + std::string(name) + "(TABLE.column, key)");
        return wild(n);
    };
    if (n.children.size() != 2) return wrongShape(n.mark);
    const Node& field = node(n.children[0]);
    if (field.kind != NodeKind::Field || node(field.children[0]).kind != NodeKind::Name) return wrongShape(field.span);
    const Node& tableName = node(field.children[0]);
    TableRow* t = tableNamed(tableName.text);
    if (t == nullptr) {
        std::vector<std::string> names;
        for (const auto& [known, r] : m_tableNames) names.emplace_back(known);
        std::sort(names.begin(), names.end());
        std::string mend = suggestion(tableName.text, names);
        if (mend.empty()) mend = "write the table into the sheet, or `use` a file that holds it";
        fail(Code::UnknownTable, tableName.span, "there is no table " + quoted(tableName.text), mend);
        return wild(n);
    }
    if (!t->table) {
        m_cause = t->row;
        m_blamesElsewhere = true;
        setFailed();
        return wild(n);
    }
    const Table& table = *t->table;
    if (t->damaged) { // a line that cannot be read may be the one between whose neighbours this would go
        m_cause = t->row;
        m_blamesElsewhere = true;
        setFailed();
    }
    const Typed key = type(n.children[1]);
    if (table.isMatrix || table.keys.size() != 1 || table.columns[table.keys[0]].text) {
        fail(Code::TypeMismatch, field.span,
             quoted(name) + " needs a table with one key column of numbers; " + quoted(table.name) +
                 (table.isMatrix           ? " is a matrix"
                  : table.keys.size() != 1 ? " has more than one key"
                                           : " is named by texts"),
             "look the row up exactly: " + table.name + "(key)." + field.text);
        return wild(n);
    }
    const auto column = columnNamed(table, field);
    if (!column) return wild(n);
    const Table::Column& c = table.columns[*column];
    if (c.text && how == Lookup::Interpolate) {
        fail(Code::TypeMismatch, field.span, "a column of texts cannot be interpolated", "use at_or_below(" + table.name + "." + field.text + ", key)");
        return wild(n);
    }
    const Table::Column& keyColumn = table.columns[table.keys[0]];
    if (!wantDimension(key, m_interner.dimension(keyColumn.unit.dimension), keyColumn.unit.shown, node(n.children[1]).span, "the key of " + quoted(table.name)))
        return wild(n);
    if (t->ascending == 0 && !t->list.valid()) {
        t->ascending = 1;
        const auto& values = table.cells[table.keys[0]];
        for (std::size_t r = 1; r < values.size() && t->ascending == 1; ++r) {
            if (std::isnan(values[r]) || std::isnan(values[r - 1]) || values[r] > values[r - 1]) continue;
            t->ascending = 2;
            fail(Code::TableCell, field.span,
                 "the keys of table " + quoted(table.name) + " must rise from row to row to be used here: " + table.texts[table.keys[0]][r] + " stands after " +
                     table.texts[table.keys[0]][r - 1],
                 "sort its rows by " + quoted(keyColumn.name));
        }
    }
    if (t->ascending == 2) {
        setFailed();
        return wild(n);
    }
    const Typed made = tableNode(ExprKind::TableField, n, *t, c, {key});
    edit(made).index = *column;
    edit(made).how = how;
    return made;
}

} // namespace spanwright::meaning
