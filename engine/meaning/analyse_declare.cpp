// SPDX-License-Identifier: MIT
// Declares every name of a sheet, so that the order of its rows is for the reader.
#include <algorithm>
#include <limits>

#include "engine/base/text.h"
#include "engine/meaning/analysis.h"

namespace spanwright::meaning {

using diag::Code;
using Row = syntax::RowParts;
using syntax::RowKind;
using syntax::Spot;

SheetAnalysis::SheetAnalysis(Sheet& sheet, Interner& interner, TextPool& texts, const Fetch& fetch)
    : FormulaTyper(sheet.exprs, interner, texts, sheet.document->file(), sheet.diagnostics), m_sheet(sheet), m_fetch(fetch) {
    using units::Base;
    using units::Dimension;
    const Dimension length = Dimension::of(Base::Length);
    const Dimension force = Dimension::of(Base::Mass).times(length).over(Dimension::of(Base::Time, {2, 1}));
    m_length = interner.dimension(length);
    m_area = interner.dimension(length.times(length));
    m_density = interner.dimension(Dimension::of(Base::Mass).over(length.times(length).times(length)));
    m_force = interner.dimension(force);
    m_moment = interner.dimension(force.times(length));
    m_lineLoad = interner.dimension(force.over(length));
    m_bendingStiffness = interner.dimension(force.times(length).times(length));
    m_perLength = interner.dimension(Dimension::of(Base::Length, {-1, 1}));
}

QuantityId SheetAnalysis::addQuantity(Kind kind, std::uint32_t r, std::string_view name) {
    const QuantityId id(m_sheet.quantities.size());
    Quantity& q = m_sheet.quantities.emplace_back();
    const Row& row = rowAt(r);
    q.id = id;
    q.kind = kind;
    q.name = name;
    q.row = r;
    q.causeRow = r;
    q.part = m_part;
    q.what = row.what.text;
    q.source = row.source.text;
    q.tag = row.tag;
    q.broken = !row.complaints.empty();
    if (kind != Kind::Condition) {
        q.condition = m_standsIn;
        q.otherwise = m_otherwise && m_standsIn.valid();
    }
    m_info.emplace_back();
    m_last = id;
    return id;
}

bool SheetAnalysis::declareName(const Spot& name, std::uint32_t r, Symbol symbol) {
    if (!name.present()) return false; // told by the reader
    symbol.row = r;
    symbol.span = name.span;
    beginRow(r);
    if (isLanguageFunction(name.text) || isConstantName(name.text)) {
        fail(Code::DuplicateName, name.span, quoted(name.text) + " is a " + (isConstantName(name.text) ? "constant" : "function") + " of the language",
             "choose another name");
        return false;
    }
    const auto [at, fresh] = m_symbols.emplace(name.text, symbol);
    if (fresh) return true;
    Symbol& first = at->second;
    if (first.kind == Symbol::Kind::Quantity && symbol.kind == Symbol::Kind::Quantity && declareSwitch(first, QuantityId(symbol.index), name)) return true;
    if (failed()) return false;
    diag::Diagnostic& d = fail(Code::DuplicateName, name.span, quoted(name.text) + " is defined twice", "give one of them another name");
    d.labels.push_back({{m_file, first.row, first.span}, "first defined here"});
    return false;
}

/// A name may stand once in a part and once behind its `otherwise`.
bool SheetAnalysis::declareSwitch(Symbol& first, QuantityId second, const Spot& name) {
    const Quantity& a = m_sheet.at(QuantityId(first.index));
    const Quantity& b = m_sheet.at(second);
    if (first.other.valid() || !a.condition.valid() || a.condition != b.condition || a.otherwise || !b.otherwise) return false;
    const auto whole = [](Kind k) { return k == Kind::Choose || k == Kind::Each || k == Kind::List || k == Kind::Beam; };
    if (whole(a.kind) || whole(b.kind)) {
        diag::Diagnostic& d =
            fail(Code::DuplicateName, name.span,
                 quoted(name.text) + " is defined twice: only single values can have two definitions, one in a part and one behind its `otherwise`",
                 "give one of them another name");
        d.labels.push_back({{m_file, first.row, first.span}, "first defined here"});
        return false;
    }
    first.other = second;
    return true;
}

void SheetAnalysis::declareUnit(QuantityId id, const Row& row) {
    Quantity& q = quantity(id);
    Info& i = info(id);
    q.show.step = row.step;
    if (!row.unit.present()) return;
    i.declared = true;
    if (const auto unit = unitAt(row.unit.text, row.unit.span)) {
        q.unit = *unit;
        q.dimension = unit->dimension;
        i.dimension = m_interner.dimension(unit->dimension);
    } else {
        q.broken = true;
        i.wild = true;
    }
}

const SheetAnalysis::TableRow* SheetAnalysis::declareRowOf(Quantity& q, const Row& row) {
    q.type = Type::Row;
    m_cause = q.row;
    m_blamesElsewhere = false;
    const TableRow* t = tableFor(row);
    if (t == nullptr) {
        q.broken = true;
        if (m_blamesElsewhere) q.causeRow = m_cause;
        info(q.id).wild = true;
        return nullptr;
    }
    q.table = t->table;
    q.list = t->list;
    return t;
}

void SheetAnalysis::declareChoose(QuantityId id, const Row& row) {
    Quantity& q = quantity(id);
    const TableRow* t = declareRowOf(q, row);
    if (t == nullptr) return;
    if (!row.key.present()) return;
    q.defaultRow = t->table->rowByLabel(row.key.text);
    if (q.defaultRow) return;
    std::vector<std::string> labels;
    const auto count = static_cast<std::uint32_t>(std::min<std::size_t>(t->table->rowCount(), 10'000));
    for (std::uint32_t r = 0; r < count; ++r) labels.push_back(t->table->rowLabel(r));
    std::string mend = suggestion(row.key.text, labels);
    if (mend.empty() && !labels.empty()) {
        mend = "its keys are ";
        for (std::size_t k = 0; k < labels.size() && k < 8; ++k) mend += (k == 0 ? "" : ", ") + labels[k];
        if (labels.size() > 8) mend += " ...";
    }
    fail(Code::UnknownTableRow, row.key.span, "table " + quoted(row.table.text) + " has no row " + quoted(row.key.text), mend);
    q.broken = true;
}

void SheetAnalysis::declareEach(QuantityId id, const Row& row) {
    Quantity& q = quantity(id);
    const TableRow* t = declareRowOf(q, row);
    if (t == nullptr) return;
    q.axes = {id};
    info(id).axes = m_interner.axes({id});
    if (t->damaged && !t->list.valid()) {
        // a line that cannot be read might hold the governing row
        q.broken = true;
        q.causeRow = t->row;
    }
}

void SheetAnalysis::declareFunction(std::uint32_t r) {
    const Row& row = rowAt(r);
    const FunctionId id(m_sheet.functions.size());
    Function& f = m_sheet.functions.emplace_back();
    FunctionInfo& i = m_functions.emplace_back();
    f.name = row.name.text;
    f.what = row.what.text;
    f.source = row.source.text;
    f.row = r;
    f.broken = !row.complaints.empty();
    i.cause = r;
    i.condition = m_standsIn;
    i.otherwise = m_otherwise && m_standsIn.valid();
    beginRow(r);
    for (const auto& p : row.parameters) {
        Function::Parameter parameter;
        parameter.name = p.name.text;
        parameter.slot = newSlot();
        for (const auto& before : f.parameters) {
            if (before.name != p.name.text || p.name.text.empty() || f.broken) continue; // told by the reader
            fail(Code::DuplicateName, p.name.span, "the parameter " + quoted(p.name.text) + " stands twice", "give one of them another name");
            f.broken = true;
        }
        if (p.unit.present()) {
            if (const auto unit = unitAt(p.unit.text, p.unit.span))
                parameter.unit = *unit;
            else
                f.broken = true;
        }
        i.parameters.push_back(m_interner.dimension(parameter.unit.dimension));
        f.parameters.push_back(std::move(parameter));
    }
    Symbol s;
    s.kind = Symbol::Kind::Function;
    s.index = static_cast<std::uint32_t>(id.index());
    if (row.name.present() && !declareName(row.name, r, s)) m_sheet.functions[id.index()].broken = true;
}

void SheetAnalysis::declareRow(std::uint32_t r) {
    const Row& row = rowAt(r);
    const RowKind rowKind = kindAt(r);
    const auto quantityRow = [&](Kind kind) {
        const QuantityId id = addQuantity(kind, r, row.name.text);
        Symbol s;
        s.index = id.value;
        if (row.name.present() && !declareName(row.name, r, s)) quantity(id).broken = true;
        beginRow(r);
        return id;
    };
    switch (rowKind) {
    case RowKind::Sheet:
        m_sheet.name = row.rest.present() ? row.rest.text : row.name.text;
        m_sheet.purpose = row.what.text;
        break;
    case RowKind::Title:
        m_sheet.title = row.rest.text;
        if (m_sheet.purpose.empty()) m_sheet.purpose = row.what.text;
        break;
    case RowKind::Basis: {
        std::string_view rest = row.rest.text;
        while (!rest.empty()) {
            const std::size_t end = std::min(rest.find(';'), rest.size());
            const std::string_view one = base::trimmed(rest.substr(0, end));
            if (!one.empty()) m_sheet.basis.emplace_back(one);
            rest.remove_prefix(std::min(end + 1, rest.size()));
        }
        break;
    }
    case RowKind::Caution: m_sheet.cautions.push_back(row.rest.text); break;
    case RowKind::Assume: m_sheet.assumptions.push_back(row.rest.text); break;
    case RowKind::Part: {
        m_part = static_cast<std::uint32_t>(m_sheet.parts.size());
        m_otherwise = false;
        m_standsIn = {};
        Part part;
        part.title = row.rest.present() ? row.rest.text : row.name.text;
        part.row = r;
        m_sheet.parts.push_back(std::move(part));
        // a condition that cannot be read is a condition all the same: its rows do not simply apply
        if (row.condition.present() || (!row.complaints.empty() && m_sheet.document->rows()[r].text.find("only") != std::string::npos)) {
            const QuantityId id = addQuantity(Kind::Condition, r, {});
            quantity(id).type = Type::Truth;
            m_sheet.parts[m_part].condition = id;
            m_standsIn = id;
            const std::string& text = m_sheet.document->rows()[r].text;
            std::string& condition = m_conditions[id.value];
            for (char c : row.condition.span.of(text)) {
                if (c != ' ' && c != '\t' && c != '\r' && c != '\n') condition += c;
            }
        }
        break;
    }
    case RowKind::Otherwise:
        if (!m_standsIn.valid()) {
            if (row.complaints.empty()) {
                beginRow(r);
                fail(Code::RowMisplaced, row.keyword.span, "`otherwise` stands in no part that can be switched off",
                     "write the condition behind the part's title: part TITLE only if CONDITION");
            }
            break;
        }
        m_sheet.parts[m_part].hasOtherwise = true;
        m_otherwise = true;
        break;
    case RowKind::Ask: {
        const QuantityId id = quantityRow(Kind::Ask);
        declareUnit(id, row);
        break;
    }
    case RowKind::Given: {
        const QuantityId id = quantityRow(Kind::Given);
        declareUnit(id, row);
        break;
    }
    case RowKind::Derive: {
        const QuantityId id = quantityRow(Kind::Derive);
        declareUnit(id, row);
        break;
    }
    case RowKind::Choose: declareChoose(quantityRow(Kind::Choose), row); break;
    case RowKind::Each: declareEach(quantityRow(Kind::Each), row); break;
    case RowKind::Check: quantityRow(Kind::Check); break;
    case RowKind::Require: {
        const QuantityId id = quantityRow(Kind::Require);
        quantity(id).type = Type::Truth;
        break;
    }
    case RowKind::Define: declareFunction(r); break;
    case RowKind::Beam: {
        const QuantityId id = quantityRow(Kind::Beam);
        Quantity& q = quantity(id);
        q.type = Type::Nothing;
        q.beam = static_cast<std::uint32_t>(m_sheet.beams.size());
        m_sheet.beams.emplace_back().name = q.name;
        m_beams.emplace_back();
        break;
    }
    case RowKind::Stiffness:
    case RowKind::Support:
    case RowKind::Load:
    case RowKind::Mark: {
        const std::uint32_t owner = m_sheet.document->rows()[r].owner;
        if (owner != syntax::Row::kNoOwner) m_beamRows[owner].push_back(r);
        break;
    }
    case RowKind::Plot: {
        const QuantityId id = addQuantity(Kind::Plot, r, row.name.text);
        beginRow(r);
        quantity(id).plot = static_cast<std::uint32_t>(m_sheet.plots.size());
        m_sheet.plots.emplace_back();
        declareUnit(id, row);
        break;
    }
    case RowKind::Sketch: {
        const QuantityId id = addQuantity(Kind::Sketch, r, {});
        Quantity& q = quantity(id);
        q.type = Type::Nothing;
        q.plot = static_cast<std::uint32_t>(m_sheet.sketches.size());
        SketchDefinition& sketch = m_sheet.sketches.emplace_back();
        sketch.title = row.rest.text;
        sketch.heights = row.step.value_or(1.0);
        break;
    }
    case RowKind::Piece:
    case RowKind::Schedule: {
        const bool piece = rowKind == RowKind::Piece;
        const QuantityId id = addQuantity(piece ? Kind::Piece : Kind::Schedule, r, row.name.text);
        beginRow(r);
        auto& names = piece ? m_pieceNames : m_scheduleNames;
        if (row.name.present() && !names.insert(row.name.text).second) {
            fail(Code::DuplicateName, row.name.span, (piece ? "piece " : "schedule column ") + quoted(row.name.text) + " is defined twice",
                 "give one of them another name");
            quantity(id).broken = true;
        }
        quantity(id).type = Type::Nothing;
        quantity(id).plot = static_cast<std::uint32_t>(piece ? m_sheet.pieces.size() : m_sheet.schedules.size());
        if (piece)
            m_sheet.pieces.emplace_back();
        else
            m_sheet.schedules.emplace_back();
        break;
    }
    case RowKind::List: {
        const QuantityId id = quantityRow(Kind::List);
        Quantity& q = quantity(id);
        q.type = Type::Nothing;
        TableRow& t = m_tables[r];
        q.table = t.table;
        if (t.table == nullptr || t.damaged) {
            q.broken = true; // told at its lines
            info(id).wild = t.table == nullptr;
        }
        break;
    }
    case RowKind::Table:
    case RowKind::Matrix:
    case RowKind::Use: {
        Symbol s;
        s.kind = Symbol::Kind::Table;
        s.index = r;
        if (row.name.present()) declareName(row.name, r, s);
        break;
    }
    case RowKind::Note:
        if (m_last.valid()) {
            std::string& note = quantity(m_last).note;
            if (!note.empty()) note += '\n';
            note += row.rest.text;
        }
        break;
    default: break;
    }
}

/// A row whose kind is misspelt still shows which name it meant to define: rows that use it are then
/// blocked by it instead of each calling the name unknown.
void SheetAnalysis::declareDamaged() {
    const auto& rows = m_sheet.document->rows();
    for (std::uint32_t r = 0; r < rows.size(); ++r) {
        if (rows[r].kind != RowKind::Unknown) continue;
        const std::string& text = rows[r].text;
        const std::size_t equals = std::min(text.find('='), text.find(':'));
        if (equals == std::string::npos) continue;
        std::size_t end = std::min(text.find('['), equals);
        const std::string_view head = base::trimmed(std::string_view(text).substr(0, end));
        const std::size_t blank = head.find_first_of(" \t");
        if (blank == std::string_view::npos) continue;
        const std::string_view word = base::trimmed(head.substr(blank));
        if (!syntax::isName(word)) continue;
        const std::string& name = m_names.emplace_back(syntax::canonicalName(word));
        if (m_symbols.count(name) != 0 || isConstantName(name) || isLanguageFunction(name)) continue;
        const QuantityId id = addQuantity(Kind::Derive, r, name);
        quantity(id).broken = true;
        info(id).wild = true;
        info(id).typed = true;
        Symbol s;
        s.index = id.value;
        s.row = r;
        m_symbols.emplace(name, s);
    }
}

void SheetAnalysis::declareAll() {
    const auto& rows = m_sheet.document->rows();
    std::size_t named = 0;
    std::size_t nodes = 0;
    for (const auto& row : rows) {
        if (row.parts == nullptr) continue;
        ++named;
        nodes += row.parts->formula.nodes.size();
    }
    m_sheet.quantities.reserve(named + 8);
    m_info.reserve(named + 8);
    m_symbols.reserve(named + 8);
    m_pool.nodes.reserve(nodes + nodes / 8 + 64);
    m_sheet.parts.emplace_back();

    for (std::uint32_t r = 0; r < rows.size(); ++r) {
        // lists are rows of the sheet: who takes rows from them must know which
        if (rows[r].kind == RowKind::List) m_tables[r].list = QuantityId(std::numeric_limits<std::uint32_t>::max() - 1);
    }
    for (std::uint32_t r = 0; r < rows.size(); ++r) {
        if (rows[r].parts != nullptr) declareRow(r);
    }
    m_standsIn = {};
    m_otherwise = false;
    declareDamaged();
    for (const Quantity& q : m_sheet.quantities) {
        if (q.kind == Kind::List) m_tables[q.row].list = q.id;
    }
    for (Quantity& q : m_sheet.quantities) {
        if (!q.list.valid()) continue;
        const TableRow* t = tableNamed(rowAt(q.row).table.text);
        q.list = t == nullptr ? QuantityId() : t->list;
    }

    // switches stand behind the rows
    std::vector<Symbol*> switched;
    for (auto& [name, s] : m_symbols) {
        if (s.kind == Symbol::Kind::Quantity && s.other.valid()) switched.push_back(&s);
    }
    std::sort(switched.begin(), switched.end(), [](const Symbol* a, const Symbol* b) { return a->index < b->index; });
    for (Symbol* s : switched) {
        const Quantity first = m_sheet.quantities[s->index];
        m_standsIn = {};
        m_otherwise = false;
        m_part = first.part;
        const QuantityId id = addQuantity(Kind::Switch, first.row, first.name);
        Quantity& q = quantity(id);
        q.whenTrue = QuantityId(s->index);
        q.whenFalse = s->other;
        q.condition = {};
        q.broken = false;
        q.tag = syntax::Tag::None;
        s->whole = id;
    }
}

} // namespace spanwright::meaning
