// SPDX-License-Identifier: MIT
// A sheet beside the job that goes by the name of a ready sheet is a copy of it: what was changed is listed,
// and a check that was taken out or talked into holding always is not forgotten.
#include <algorithm>
#include <map>

#include "engine/base/text.h"
#include "engine/job/core.h"

namespace spanwright::job {

using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;
using syntax::Row;
using syntax::RowKind;

namespace {

struct Item {
    std::string label;   ///< how it is called in a list of differences
    std::string content; ///< canonical
    RowKind kind{};
};

/// Under which condition a row stands, as text.
std::string circumstance(const std::vector<Row>& rows, std::uint32_t i) {
    std::string out;
    for (std::uint32_t owner = rows[i].owner; owner != Row::kNoOwner && owner < rows.size(); owner = rows[owner].owner) {
        const Row& o = rows[owner];
        if (o.kind == RowKind::Part && o->condition.present()) out += " if " + canonicalText(o, o->condition.span);
        if (o.kind == RowKind::Otherwise) out += " if not";
    }
    return out;
}

/// The rows that count, by a key that finds each again in another version of the sheet.
std::map<std::string, Item> itemsOf(const syntax::Document& document, std::vector<std::string>& order) {
    std::map<std::string, Item> out;
    const std::vector<Row>& rows = document.rows();
    const auto isBlock = [](RowKind k) {
        return k == RowKind::Beam || k == RowKind::Table || k == RowKind::List || k == RowKind::Matrix || k == RowKind::Sketch;
    };
    for (std::uint32_t i = 0; i < rows.size(); ++i) {
        const Row& row = rows[i];
        if (row.owner != Row::kNoOwner && row.owner < i && isBlock(rows[row.owner].kind)) continue; // told with its block
        Item item;
        item.kind = row.kind;
        switch (row.kind) {
        case RowKind::Blank:
        case RowKind::Comment:
        case RowKind::Note:
        case RowKind::Sheet:
        case RowKind::Title:
        case RowKind::TableLine:
        case RowKind::End: continue;
        case RowKind::Basis:
        case RowKind::Caution:
        case RowKind::Assume: item.label = row->keyword.text + " " + quoted(row->rest.text); break;
        case RowKind::Part: item.label = "part " + quoted(row->rest.text); break;
        case RowKind::Use: item.label = "use " + row->path.text; break;
        case RowKind::Ask:
        case RowKind::Given:
        case RowKind::Choose:
        case RowKind::Each:
        case RowKind::Derive:
        case RowKind::Define:
        case RowKind::Check:
        case RowKind::Require:
        case RowKind::Beam:
        case RowKind::List:
        case RowKind::Table:
        case RowKind::Matrix: item.label = row->name.text; break;
        default: item.label = std::string(base::trimmed(canonicalRow(row))); break;
        }
        item.content = canonicalRow(row) + circumstance(rows, i);
        if (isBlock(row.kind))
            for (std::uint32_t k = i + 1; k < rows.size() && rows[k].owner == i; ++k)
                if (rows[k].kind != RowKind::Comment && rows[k].kind != RowKind::Blank) item.content += canonicalRow(rows[k]) + "\n";
        std::string key = item.label;
        for (int again = 2; out.count(key) != 0; ++again) key = item.label + " (" + std::to_string(again) + ")";
        order.push_back(key);
        out.emplace(key, std::move(item));
    }
    return out;
}

/// What a formula comes to without knowing any value: reads nothing, perhaps with a number.
struct Folded {
    bool fixed = false; ///< does not depend on anything
    std::optional<double> value;
};

Folded fold(const meaning::Sheet& sheet, ExprId id, int depth = 0) {
    if (!id.valid() || depth > 500) return {};
    const Expr& e = sheet.exprs.at(id);
    if (e.kind == ExprKind::Constant) return {true, e.value};
    if (e.quantity.valid() || e.kind == ExprKind::External || e.kind == ExprKind::Bound || e.kind == ExprKind::UserCall) return {};
    std::vector<Folded> parts;
    bool fixed = true;
    for (ExprId child : e.children) {
        parts.push_back(fold(sheet, child, depth + 1));
        fixed = fixed && parts.back().fixed;
    }
    const auto is = [&](std::size_t i, double v) { return i < parts.size() && parts[i].value && *parts[i].value == v; };
    switch (e.kind) {
    case ExprKind::Multiply:
        if (is(0, 0.0) || is(1, 0.0)) return {true, 0.0};
        break;
    case ExprKind::Divide:
        if (is(0, 0.0)) return {true, 0.0};
        break;
    case ExprKind::And:
        if (is(0, 0.0) || is(1, 0.0)) return {true, 0.0};
        break;
    case ExprKind::Or:
        if ((parts[0].value && *parts[0].value != 0.0) || (parts[1].value && *parts[1].value != 0.0)) return {true, 1.0};
        break;
    case ExprKind::Not:
        if (parts[0].value) return {true, *parts[0].value == 0.0 ? 1.0 : 0.0};
        break;
    case ExprKind::If:
        if (parts[0].value) return *parts[0].value != 0.0 ? parts[1] : parts[2];
        break;
    default: break;
    }
    return {fixed, {}};
}

/// Nothing that is loaded or chosen can make it fail (or hold).
bool idle(const meaning::Sheet& sheet, const meaning::Quantity& q) {
    if (q.broken) return false;
    const bool left = fold(sheet, q.formula).fixed;
    if (q.kind == Kind::Require) return left;
    const bool upward = q.relation == syntax::Op::Greater || q.relation == syntax::Op::GreaterEqual;
    const bool right = fold(sheet, q.right).fixed;
    // A demand that is nought is met by whatever carries anything.
    const Folded demand = fold(sheet, upward ? q.right : q.formula);
    return (left && right) || (demand.value && *demand.value <= 0.0);
}

const meaning::Quantity* findCheck(const meaning::Sheet& sheet, Kind kind, const std::string& name) {
    const auto it =
        std::find_if(sheet.quantities.begin(), sheet.quantities.end(), [&](const meaning::Quantity& q) { return q.kind == kind && q.name == name; });
    return it == sheet.quantities.end() ? nullptr : &*it;
}

bool neverOn(const meaning::Sheet& sheet, const meaning::Quantity& q) {
    return q.condition.valid() && !sheet.at(q.condition).broken && fold(sheet, sheet.at(q.condition).formula).fixed;
}

CopyReport compare(const SheetEntry& ready, const SheetEntry& copy) {
    CopyReport out;
    out.of = ready.name;
    std::vector<std::string> readyOrder, copyOrder;
    const auto was = itemsOf(ready.document(), readyOrder);
    const auto is = itemsOf(copy.document(), copyOrder);
    for (const std::string& key : copyOrder) {
        const auto before = was.find(key);
        const std::string& label = is.at(key).label;
        if (before == was.end()) {
            out.differs.push_back("added: " + label);
            out.added.push_back(label);
        } else if (before->second.content != is.at(key).content) {
            out.differs.push_back("changed: " + label);
            out.changed.push_back(label);
        }
    }
    for (const std::string& key : readyOrder)
        if (is.count(key) == 0) out.differs.push_back("taken out: " + was.at(key).label);
    for (const auto& table : ready.sheet->tables) {
        const auto same =
            std::find_if(copy.sheet->tables.begin(), copy.sheet->tables.end(), [&](const auto& t) { return t && table && t->name == table->name; });
        if (same == copy.sheet->tables.end() || is.count(table->name) != 0) continue; // of the sheet itself: compared above
        if (tableDigest(**same) != tableDigest(*table)) out.differs.push_back("changed: table " + table->name);
    }
    for (const meaning::Quantity& q : ready.sheet->quantities) {
        if (q.kind != Kind::Check && q.kind != Kind::Require) continue;
        const std::string which = std::string(kindWord(q.kind)) + " " + quoted(q.name) + " of " + ready.name;
        const meaning::Quantity* now = findCheck(*copy.sheet, q.kind, q.name);
        if (now == nullptr)
            out.lost.push_back(which + " was taken out");
        else if (idle(*copy.sheet, *now) && !idle(*ready.sheet, q))
            out.lost.push_back(which + " was changed so that it always comes out alike");
        else if (neverOn(*copy.sheet, *now) && !neverOn(*ready.sheet, q))
            out.lost.push_back(which + " was put in a part that is switched on or off for good");
    }
    return out;
}

} // namespace

const CopyReport& Core::copyReport(const SheetEntry& entry) const {
    if (entry.copy) return *entry.copy;
    entry.copy.emplace();
    if (entry.ofLibrary || m_options.library.empty() || !entry.sheet) return *entry.copy;
    constexpr std::string_view kEnding = ".spansheet";
    std::vector<std::string> sameName, others;
    for (const std::string& file : m_files.list(m_options.library)) {
        if (file.size() <= kEnding.size() || file.compare(file.size() - kEnding.size(), kEnding.size(), kEnding) != 0) continue;
        (stemOf(file) == stemOf(entry.path) ? sameName : others).push_back(file.substr(0, file.size() - kEnding.size()));
    }
    Core& self = const_cast<Core&>(*this); // ready sheets are read in; nothing of the job changes
    const auto load = [&](const std::string& name) -> const SheetEntry* {
        const auto path = io::pathBelow(m_options.library, name + std::string(kEnding));
        if (!path.ok() || path.value() == entry.path) return nullptr;
        if (const auto known = m_sheets.find(path.value()); known != m_sheets.end()) return known->second->sheet ? known->second.get() : nullptr;
        auto bytes = m_files.read(path.value());
        if (!bytes.ok() || !base::isUtf8(bytes.value())) return nullptr;
        auto made = std::make_unique<SheetEntry>();
        made->path = path.value();
        made->name = name;
        made->ofLibrary = true;
        SheetEntry& ready = *self.m_sheets.emplace(path.value(), std::move(made)).first->second;
        self.loadSheet(ready, std::move(bytes).value());
        return &ready;
    };
    const auto consider = [&](const std::string& name) {
        const SheetEntry* ready = load(name);
        if (ready == nullptr) return;
        CopyReport report = compare(*ready, entry);
        // Of several ready sheets of one name it is a copy of the one it resembles most.
        if (entry.copy->of.empty() || report.differs.size() < entry.copy->differs.size()) entry.copy = std::move(report);
    };
    for (const std::string& name : sameName) consider(name);
    if (!entry.copy->of.empty() || entry.sheet->name.empty()) return *entry.copy;
    for (const std::string& name : others) {
        // The name that the sheet gives itself, without analysing all of them.
        auto bytes = m_files.read(io::pathBelow(m_options.library, name + std::string(kEnding)).value());
        if (!bytes.ok()) continue;
        const auto document = syntax::Document::read(name, syntax::FileKind::Sheet, std::move(bytes).value());
        const auto head = std::find_if(document.rows().begin(), document.rows().end(), [](const Row& r) { return r.kind == RowKind::Sheet; });
        if (head != document.rows().end() && ((*head)->name.text == entry.sheet->name || (*head)->rest.text == entry.sheet->name)) consider(name);
    }
    return *entry.copy;
}

} // namespace spanwright::job
