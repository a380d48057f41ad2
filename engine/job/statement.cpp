// SPDX-License-Identifier: MIT
// What a job states for a row of a sheet: a value, a key, a link, the rows of a list.
#include <algorithm>
#include <cmath>
#include <tuple>

#include "engine/base/text.h"
#include "engine/job/core.h"

namespace spanwright::job {

using diag::Code;
using diag::Diagnostic;
using diag::Severity;
using syntax::NodeKind;

namespace {

bool isZero(std::string_view text, double si) { return si == 0.0 && text.find_first_not_of("+-0. \t") == std::string_view::npos; }

/// The member marks that a formula names, each once, with the place of the first.
std::vector<syntax::Spot> marksIn(const syntax::Formula& formula) {
    std::vector<syntax::Spot> out;
    for (const syntax::Node& n : formula.nodes) {
        const auto add = [&](syntax::Spot spot) {
            if (std::none_of(out.begin(), out.end(), [&](const syntax::Spot& o) { return o.text == spot.text; })) out.push_back(std::move(spot));
        };
        if (n.kind == NodeKind::Field && !n.children.empty()) {
            const syntax::Node& base = formula.node(n.children.front());
            if (base.kind == NodeKind::Name) add({base.text, base.span});
        } else if (n.kind == NodeKind::Name) {
            const std::size_t dot = n.text.find('.');
            if (dot != std::string::npos) add({n.text.substr(0, dot), {n.span.begin, n.span.begin + static_cast<std::uint32_t>(dot)}});
        }
    }
    return out;
}

std::vector<std::string> rowLabels(const meaning::Table& table) {
    std::vector<std::string> out;
    for (std::uint32_t r = 0; r < table.rowCount() && r < 10000; ++r) out.push_back(table.rowLabel(r));
    return out;
}

} // namespace

void settle(Statement& s, std::string_view mark) {
    for (Diagnostic& d : s.diagnostics) d.member = std::string(mark);
    const auto worst = std::find_if(s.diagnostics.begin(), s.diagnostics.end(), [](const Diagnostic& d) { return d.severity == Severity::Error; });
    if (worst == s.diagnostics.end()) return;
    s.sort = Statement::Sort::Wrong;
    s.problem = std::make_shared<const Diagnostic>(*worst);
}

std::vector<const meaning::Quantity*> Core::statedRows(const meaning::Sheet& sheet, std::string_view name) const {
    std::vector<const meaning::Quantity*> out;
    const auto take = [&](const meaning::Quantity& q) {
        if (q.kind == Kind::Ask || q.kind == Kind::Given || q.kind == Kind::Choose || q.kind == Kind::List) out.push_back(&q);
    };
    const meaning::Quantity* q = sheet.find(name);
    if (q == nullptr) return out;
    if (q->kind != Kind::Switch) {
        take(*q);
        return out;
    }
    take(sheet.at(q->whenTrue));
    take(sheet.at(q->whenFalse));
    return out;
}

namespace {

/// `58 mm +- 3 mm`, `58 mm +- 5 %`: false if there is no `+-`.
bool readTolerance(const meaning::Quantity& q, const syntax::Document& document, std::uint32_t row, base::ByteSpan span, Statement& s) {
    std::size_t sign = s.text.find("+-"), width = 2;
    if (sign == std::string::npos) sign = s.text.find("\u00B1");
    if (sign == std::string::npos) return false;
    const std::string text(base::trimmed(std::string_view(s.text).substr(0, sign)));
    const std::string half(base::trimmed(std::string_view(s.text).substr(sign + width)));
    const auto wrong = [&](Code code, std::string message, std::string mend) {
        s.diagnostics.push_back({code, Severity::Error, document.place(row, span), std::move(message), {}, {}, std::move(mend), {}});
        return true;
    };
    const std::string form = "write a value with its tolerance, such as `58 mm +- 3 mm` or `58 mm +- 5 %`";
    const auto value = units::readValue(text), tolerance = units::readValue(half);
    if (!value) return wrong(value.error().code, quoted(text) + " before `+-`: " + value.error().message, form);
    if (!tolerance) return wrong(tolerance.error().code, quoted(half) + " behind `+-`: " + tolerance.error().message, form);
    if (value.value().unit.dimension != q.dimension) return wrong(Code::UnlikeDimensions, quoted(text) + " is no value for " + quoted(q.name), form);
    const bool share = tolerance.value().unit.dimension.isNumber() && half.find('%') != std::string::npos;
    if (!share && tolerance.value().unit.dimension != q.dimension)
        return wrong(Code::UnlikeDimensions, "the tolerance " + quoted(half) + " is of another kind than the value", form);
    if (!(tolerance.value().si >= 0.0)) return wrong(Code::OutOfRange, "the tolerance " + quoted(half) + " is below zero", form);
    s.sort = Statement::Sort::Value;
    s.si = value.value().si;
    s.tolerance = share ? tolerance.value().si * std::fabs(s.si) : tolerance.value().si;
    return true;
}

} // namespace

std::optional<Diagnostic> Core::notSettable(const SheetEntry& entry, std::string_view name, const diag::Place& where) const {
    const meaning::Sheet& sheet = *entry.sheet;
    const meaning::Quantity* q = sheet.find(name);
    Diagnostic d{Code::NotSettable, Severity::Error, where, {}, {}, {}, {}, {}};
    if (q == nullptr) {
        std::vector<std::string> names;
        for (const meaning::Quantity& other : sheet.quantities)
            if (other.kind == Kind::Ask || other.kind == Kind::Given || other.kind == Kind::Choose || other.kind == Kind::List) names.push_back(other.name);
        d.code = Code::UnknownName;
        d.message = "the sheet " + entry.name + " has no row " + quoted(name);
        d.mend = suggestion(name, names);
        if (d.mend.empty()) d.mend = "check how the name is written, or take the row out";
        return d;
    }
    switch (q->kind) {
    case Kind::Ask:
    case Kind::Given:
    case Kind::Choose:
    case Kind::List: return std::nullopt;
    case Kind::Switch:
        if (!statedRows(sheet, name).empty()) return std::nullopt;
        d.message = quoted(name) + " is worked out in a part and again behind its `otherwise`, so it cannot be stated";
        d.mend = "state what the part depends on";
        return d;
    case Kind::Each:
        d.message = quoted(name) + " goes through a table of the sheet and cannot be stated";
        d.mend = "only a `list` can have a member's own rows";
        return d;
    default: break;
    }
    d.message = quoted(name) + " is worked out by the sheet (" + std::string(kindWord(q->kind)) + ") and cannot be stated";
    std::string from;
    for (QuantityId id : q->reads) {
        const meaning::Quantity& read = sheet.at(id);
        if (read.kind == Kind::Ask || read.kind == Kind::Given || read.kind == Kind::Choose) from += (from.empty() ? "" : ", ") + read.name;
    }
    d.mend = from.empty() ? "state what it is worked out from" : "state what it is worked out from: " + from;
    return d;
}

std::shared_ptr<const meaning::Link> Core::readLink(std::uint32_t slot, const meaning::Quantity& q, const meaning::Quantity* typed,
                                                    const syntax::Formula& formula, const syntax::Document& document, std::uint32_t row, Statement& s) {
    const std::size_t told = s.diagnostics.size();
    // Marks first: an unknown member is one mistake, not one for each of its rows.
    for (const syntax::Spot& spot : marksIn(formula)) {
        const auto other = slotOf(spot.text);
        if (!other) {
            std::vector<std::string> marks;
            for (std::uint32_t m : m_order) marks.push_back(at(m).mark);
            std::string mend = suggestion(spot.text, marks);
            s.diagnostics.push_back({Code::UnknownMember,
                                     Severity::Error,
                                     document.place(row, spot.span),
                                     "the job has no member " + quoted(spot.text),
                                     {},
                                     {},
                                     mend.empty() ? "name a member by its mark, as `J1.R_G`" : mend,
                                     {}});
        } else if (at(*other).sheet == nullptr) {
            s.waitingFor = spot.text;
        }
    }
    if (s.diagnostics.size() > told || !s.waitingFor.empty()) return nullptr;
    const auto find = [&](std::string_view member, std::string_view name, std::vector<std::string>& near) -> std::optional<meaning::Reference> {
        meaning::Reference r;
        r.member = std::string(member);
        if (member.empty()) {
            for (const JobGiven& g : m_givens) {
                // A given of the job may read those that stand above it.
                if (g.gone || (slot == Ref::kJob && g.row >= m_givens[q.id.index()].row)) continue;
                if (g.quantity.name != name) {
                    near.push_back(g.quantity.name);
                    continue;
                }
                r.quantity = g.quantity.id;
                r.dimension = g.quantity.dimension;
                r.tag = g.quantity.tag;
                r.unit = g.quantity.unit;
                r.show = g.quantity.show;
                r.path = g.quantity.name;
                return r;
            }
            return std::nullopt;
        }
        const auto other = slotOf(member);
        if (!other || at(*other).sheet == nullptr) return std::nullopt;
        const meaning::Sheet& sheet = *at(*other).sheet->sheet;
        const meaning::Quantity* found = sheet.find(name);
        if (found == nullptr) {
            for (const meaning::Quantity& o : sheet.quantities)
                if (!o.name.empty()) near.push_back(o.name);
            return std::nullopt;
        }
        r.quantity = found->id;
        r.dimension = found->dimension;
        r.tag = found->tag;
        r.type = found->type;
        r.unit = found->unit;
        r.show = found->show;
        r.path = r.member + "." + found->name;
        return r;
    };
    auto link = meaning::analyseLink(formula, document, row, typed, find, m_texts, s.diagnostics, m_rates);
    if (!link) return nullptr;
    for (const meaning::Reference& r : link->references) s.references.push_back({r.member.empty() ? Ref::kJob : *slotOf(r.member), r.quantity.value});
    return std::make_shared<const meaning::Link>(*std::move(link));
}

Statement Core::readStatement(std::uint32_t slot, const meaning::Quantity& q, const syntax::Document& document, std::uint32_t row, base::ByteSpan span) {
    Statement s;
    s.row = row;
    s.span = span;
    const syntax::Row& line = document.rows()[row];
    s.text = std::string(base::trimmed(span.of(line.text)));
    const std::string mark = slot == Ref::kJob ? std::string() : at(slot).mark;
    const auto wrong = [&](Code code, std::string message, std::string mend) {
        s.diagnostics.push_back({code, Severity::Error, document.place(row, span), std::move(message), {}, {}, std::move(mend), {}});
    };
    if (s.text == "?") return s;
    if (s.text.empty()) {
        // The row lacks its value and says so itself; here it only has no value.
        s.sort = Statement::Sort::Wrong;
        const auto complaints = line->complaints;
        Diagnostic d{Code::RowIncomplete,
                     Severity::Error,
                     document.place(row, span),
                     quoted(q.name) + " is given no value",
                     {},
                     {},
                     "write a value, or `?` if it is not known yet",
                     mark};
        if (!complaints.empty())
            d = {complaints.front().code,
                 Severity::Error,
                 document.place(row, complaints.front().span),
                 complaints.front().message,
                 {},
                 {},
                 complaints.front().mend,
                 {}};
        else
            s.diagnostics.push_back(d);
        s.problem = std::make_shared<const Diagnostic>(std::move(d));
        return s;
    }
    if (q.kind == Kind::Choose) {
        const std::vector<syntax::Spot> marks = line->valueComplaints.empty() && line->formula.present() ? marksIn(line->formula) : std::vector<syntax::Spot>{};
        const bool link = std::any_of(marks.begin(), marks.end(), [&](const syntax::Spot& spot) { return slotOf(spot.text).has_value(); });
        // A list's rows are known only when the member is worked out.
        const bool there = q.table && q.table->rowByLabel(s.text);
        if (there || !link) {
            s.sort = Statement::Sort::Key;
            s.key = s.text;
            if (!there && !q.list.valid() && q.table) {
                const std::vector<std::string> labels = rowLabels(*q.table);
                std::string mend = suggestion(s.key, labels);
                if (mend.empty() && !labels.empty()) {
                    for (std::size_t i = 0; i < labels.size() && i < 5; ++i) mend += (i > 0 ? ", " : "its rows are ") + quoted(labels[i]);
                    if (labels.size() > 5) mend += " ...";
                }
                wrong(Code::UnknownTableRow, "the table " + q.table->name + " has no row " + quoted(s.key), std::move(mend));
            }
            settle(s, mark);
            return s;
        }
    }
    if (q.type == meaning::Type::Number) {
        const auto value = units::readValue(s.text);
        if (value.ok() && (value.value().unit.dimension == q.dimension || isZero(s.text, value.value().si))) {
            s.sort = Statement::Sort::Value;
            s.si = value.value().si;
            return s;
        }
    }
    if (q.type == meaning::Type::Number && readTolerance(q, document, row, span, s)) {
        settle(s, mark);
        return s;
    }
    const auto& valueComplaints = line->valueComplaints;
    if (!valueComplaints.empty()) {
        for (const syntax::Complaint& c : valueComplaints)
            s.diagnostics.push_back({c.code, Severity::Error, document.place(row, c.span), c.message, {}, {}, c.mend, {}});
        settle(s, mark);
        return s;
    }
    const syntax::Formula& formula = line->formula;
    if (!formula.present()) {
        s.sort = Statement::Sort::Wrong;
        wrong(Code::ValueMalformed, quoted(s.text) + " is no value and no formula", "write a number with its unit, such as `3.6 m`");
        settle(s, mark);
        return s;
    }
    s.link = readLink(slot, q, q.name.empty() || (slot == Ref::kJob && !m_givens[q.id.index()].declared) ? nullptr : &q, formula, document, row, s);
    // Of what begins like a value only the first mistake counts: the rest follows from reading it as a formula.
    if (!s.link && s.diagnostics.size() > 1 && s.diagnostics.front().code != Code::UnknownMember &&
        std::string_view("0123456789.+-").find(s.text.front()) != std::string_view::npos)
        s.diagnostics.erase(s.diagnostics.begin() + 1, s.diagnostics.end());
    if (s.link) {
        s.sort = Statement::Sort::Link;
        s.program = std::make_shared<eval::LinkProgram>(s.link);
    } else if (s.diagnostics.empty() && !s.waitingFor.empty()) {
        s.sort = Statement::Sort::Waiting;
        return s;
    } else if (s.diagnostics.empty()) {
        wrong(Code::ValueMalformed, quoted(s.text) + " cannot be read", "write a value with its unit or a formula over other members");
    }
    settle(s, mark);
    return s;
}

Statement Core::readOverride(std::uint32_t slot, const meaning::Quantity& q, std::string_view text) {
    const std::string path = slot == Ref::kJob || m_single ? q.name : at(slot).mark + "." + q.name;
    const auto own =
        std::make_shared<const syntax::Document>(syntax::Document::read("--set " + path, syntax::FileKind::Job, "with " + q.name + " = " + std::string(text)));
    const syntax::Row& row = own->rows().front();
    Statement s;
    if (own->rows().size() != 1 || row.kind != syntax::RowKind::With || base::trimmed(row->key.text) != base::trimmed(text)) {
        s.sort = Statement::Sort::Wrong;
        s.text = std::string(text);
        s.diagnostics.push_back({Code::ValueMalformed,
                                 Severity::Error,
                                 own->place(0, {0, static_cast<std::uint32_t>(row.text.size())}),
                                 "the value must stand on one line and hold no ` -- `",
                                 {},
                                 {},
                                 "write a value such as `3.6 m`",
                                 slot == Ref::kJob ? std::string() : at(slot).mark});
        s.problem = std::make_shared<const Diagnostic>(s.diagnostics.front());
    } else {
        s = readStatement(slot, q, *own, 0, row->key.span);
    }
    s.own = own;
    s.overriding = true;
    return s;
}

bool Core::readGiven(JobGiven& g) {
    const syntax::Row& row = m_document.rows()[g.row];
    meaning::Quantity& q = g.quantity;
    const auto kind = [&] { return std::tuple(q.dimension, q.type, q.tag, g.statement.sort == Statement::Sort::Wrong); };
    const auto before = kind();
    q.dimension = {};
    q.unit = {};
    q.show = {};
    q.tag = row->tag;
    q.type = meaning::Type::Number;
    g.declared = row->unit.present();
    Statement s;
    s.row = g.row;
    s.span = row->formula.span;
    s.text = std::string(base::trimmed(s.span.of(row.text)));
    const auto wrong = [&](Code code, base::ByteSpan span, std::string message, std::string mend) {
        s.diagnostics.push_back({code, Severity::Error, m_document.place(g.row, span), std::move(message), {}, {}, std::move(mend), {}});
        settle(s, {});
    };
    if (g.declared) {
        auto unit = units::readUnit(row->unit.text);
        if (unit.ok()) {
            q.unit = unit.value();
            q.dimension = q.unit.dimension;
            if (row->step) q.show.step = row->step;
        } else {
            const auto& e = unit.error();
            wrong(e.code, {row->unit.span.begin + e.span.begin, row->unit.span.begin + e.span.end}, e.message, e.mend);
        }
    }
    if (row->limits.low.present() || row->limits.high.present())
        wrong(Code::RowTooMuch, row->limits.low.span.joined(row->limits.high.span), "a given of a job has no range", "ranges belong to sheets");
    if (s.sort != Statement::Sort::Wrong && !row->complaints.empty()) {
        // The row has told it itself.
        const syntax::Complaint& c = row->complaints.front();
        s.sort = Statement::Sort::Wrong;
        s.problem = std::make_shared<const Diagnostic>(Diagnostic{c.code, Severity::Error, m_document.place(g.row, c.span), c.message, {}, {}, c.mend, {}});
    }
    if (s.sort != Statement::Sort::Wrong) {
        if (!g.declared) {
            // The unit it is written in is the one to show.
            if (const auto value = units::readValue(s.text); value.ok()) {
                q.unit = value.value().unit;
                q.dimension = q.unit.dimension;
            }
        }
        const auto override = m_overrides.find({std::string(), q.name});
        s = override != m_overrides.end() ? readOverride(Ref::kJob, q, override->second) : readStatement(Ref::kJob, q, m_document, g.row, s.span);
        if (s.sort == Statement::Sort::Link && !g.declared) {
            const meaning::Expr& root = s.link->exprs.at(s.link->root);
            q.dimension = root.dimension;
            q.type = root.type;
            q.tag = root.tag;
            q.unit = units::habitualUnit(q.dimension);
        }
    }
    g.statement = std::move(s);
    const Ref ref{Ref::kJob, q.id.value};
    wire(ref);
    forgetLetters(ref);
    return before != kind();
}

void Core::put(std::uint32_t slot, std::uint32_t quantity, Statement statement) {
    Member& m = at(slot);
    clearStated(m, slot, quantity);
    for (const Ref& r : statement.references) {
        if (r.slot == Ref::kJob) ++m.readsGivens;
        if (r.slot == Ref::kJob || r.slot == slot) continue;
        ++m.readsFrom[r.slot];
        ++at(r.slot).feedsTo[slot];
        spoilView(r.slot);
    }
    m.stated[quantity] = std::move(statement);
    forgetView(m);
    wire({slot, quantity});
    forgetLetters({slot, quantity});
}

void Core::takeAway(std::uint32_t slot, std::uint32_t quantity) {
    Member& m = at(slot);
    clearStated(m, slot, quantity);
    forgetView(m);
    wire({slot, quantity});
    forgetLetters({slot, quantity});
}

void Core::clearStated(Member& m, std::uint32_t slot, std::uint32_t quantity) {
    const auto it = m.stated.find(quantity);
    if (it == m.stated.end()) return;
    for (const Ref& r : it->second.references) {
        if (r.slot == Ref::kJob) --m.readsGivens;
        if (r.slot == Ref::kJob || r.slot == slot) continue;
        if (--m.readsFrom[r.slot] == 0) m.readsFrom.erase(r.slot);
        if (--at(r.slot).feedsTo[slot] == 0) at(r.slot).feedsTo.erase(slot);
        spoilView(r.slot);
    }
    m.stated.erase(it);
}

} // namespace spanwright::job
