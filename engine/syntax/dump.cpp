// SPDX-License-Identifier: MIT
#include "engine/base/text.h"
#include "engine/syntax/csv.h"
#include "engine/syntax/document.h"
#include "engine/syntax/kinds.h"

namespace spanwright::syntax {

namespace {

[[nodiscard]] std::string_view opText(Op op) {
    switch (op) {
    case Op::Add: return "+";
    case Op::Subtract: return "-";
    case Op::Multiply: return "*";
    case Op::Divide: return "/";
    case Op::Power: return "^";
    case Op::Less: return "<";
    case Op::LessEqual: return "<=";
    case Op::Greater: return ">";
    case Op::GreaterEqual: return ">=";
    case Op::Equal: return "==";
    case Op::NotEqual: return "!=";
    case Op::And: return "and";
    case Op::Or: return "or";
    case Op::None: break;
    }
    return "?";
}

/// One node without its children: its head in the dump's brackets, or all of it for a leaf.
[[nodiscard]] std::string headOf(const Node& n) {
    switch (n.kind) {
    case NodeKind::Error: return n.children.empty() ? "error" : "(error";
    case NodeKind::Number: return n.text;
    case NodeKind::Measure: return "<" + n.text + " " + n.unit + ">";
    case NodeKind::Value: return n.children.empty() ? "{" + n.text + "}" : "(value {" + n.text + "}";
    case NodeKind::Text: return "\"" + n.text + "\"";
    case NodeKind::Name: return n.text;
    case NodeKind::Field: return "(field ." + n.text;
    case NodeKind::Negate: return "(negate";
    case NodeKind::Not: return "(not";
    case NodeKind::Binary: return "(" + std::string(opText(n.op));
    case NodeKind::Call: return n.children.empty() ? "(call " + n.text + ")" : "(call " + n.text;
    case NodeKind::FieldCall: return "(call ." + n.text;
    case NodeKind::Range: return "(range " + n.text;
    case NodeKind::Over: return "(over " + n.text + ")";
    case NodeKind::Paren: return "(paren";
    }
    return "?";
}

/// Children stand before their parents, but long sums lean far to the left: no recursion.
void writeTree(std::string& out, const Formula& f) {
    struct Step {
        NodeId node;
        bool close;
    };
    std::vector<Step> stack{{f.root, false}};
    bool first = true;
    while (!stack.empty()) {
        const Step step = stack.back();
        stack.pop_back();
        if (step.close) {
            out += ')';
            continue;
        }
        if (!first) out += ' ';
        first = false;
        const Node& n = f.node(step.node);
        out += headOf(n);
        if (n.children.empty()) continue;
        stack.push_back({{}, true});
        for (std::size_t i = n.children.size(); i > 0; --i) stack.push_back({n.children[i - 1], false});
    }
}

} // namespace

std::string dump(const Formula& formula) {
    std::string out;
    if (formula.present()) writeTree(out, formula);
    return out;
}

namespace {

class Dumper {
public:
    explicit Dumper(std::string& out) : m_out(out) {}

    void span(base::ByteSpan s) { m_out += "  " + std::to_string(s.begin) + ".." + std::to_string(s.end); }

    void spot(std::string_view label, const Spot& s) {
        if (!s.present()) return;
        line(label);
        m_out += '`' + s.text + '`';
        span(s.span);
        m_out += '\n';
    }

    void formula(std::string_view label, const Formula& f) {
        if (!f.present()) return;
        line(label);
        writeTree(m_out, f);
        span(f.span);
        m_out += '\n';
    }

    void complaint(const Complaint& c) {
        m_out += "  ! " + std::string(diag::codeText(c.code));
        span(c.span);
        m_out += "  " + c.message + "; mend: " + c.mend + '\n';
    }

    void word(std::string_view label, std::string_view text) {
        line(label);
        m_out += text;
        m_out += '\n';
    }

private:
    void line(std::string_view label) {
        m_out += "  ";
        m_out += label;
        m_out.append(label.size() < 12 ? 12 - label.size() : 1, ' ');
    }
    std::string& m_out;
};

void dumpParts(std::string& out, const Row& row) {
    Dumper d(out);
    const RowParts& p = *row.parts;
    d.spot("name", p.name);
    for (const auto& q : p.parameters) {
        d.spot("parameter", q.name);
        d.spot("  unit", q.unit);
    }
    d.spot("unit", p.unit);
    if (p.step) d.word("step", base::shortest(*p.step));
    if (p.tag != Tag::None) d.word("tag", p.tag == Tag::Design ? "design" : "characteristic");
    if (p.matrix) d.word("matrix", "yes");
    d.spot("member", p.member);
    d.spot("path", p.path);
    d.spot("table", p.table);
    d.spot("key", p.key);
    for (const Spot& k : p.keys) d.spot("by", k);
    d.formula("formula", p.formula);
    d.formula("range", p.range);
    d.formula("tolerance", p.limits.tolerance);
    d.formula("low", p.limits.low);
    d.formula("high", p.limits.high);
    for (const Formula& f : p.stiffness) d.formula("stiffness", f);
    for (std::size_t i = 0; i < p.supports.size(); ++i) {
        d.formula(i < p.fixed.size() && p.fixed[i] ? "fixed at" : "at", p.supports[i]);
        if (i < p.settlements.size()) d.formula("  sinks", p.settlements[i]);
    }
    if (p.load.action.present()) {
        constexpr std::string_view kShapes[] = {"line", "point", "moment", "trapezium"};
        d.spot("action", p.load.action);
        d.word("shape", kShapes[static_cast<std::size_t>(p.load.shape)]);
        d.formula("size", p.load.size);
        d.formula("size to", p.load.sizeEnd);
        d.formula("from", p.load.from);
        d.formula("to", p.load.to);
        d.formula("at", p.load.at);
        if (p.load.eachSpan) d.word("each span", "yes");
    }
    d.formula("only if", p.condition);
    const bool mark = row.kind == RowKind::Mark;
    d.formula(mark ? "offset" : "count", p.count);
    for (std::size_t i = 0; i < p.sizes.size(); ++i) d.formula(mark ? (i % 2 == 0 ? "x" : "y") : "size", p.sizes[i]);
    d.formula("size to", p.sizeEnd);
    d.spot(mark ? "style" : "from", p.from);
    for (const Clause& c : p.clauses) {
        d.spot("clause", c.word.present() ? c.word : c.text);
        d.formula("  amount", c.formula);
    }
    d.spot("by", p.by);
    d.spot("on", p.on);
    d.spot("letters", p.letters);
    d.spot("text", p.rest);
    d.spot("what", p.what);
    d.spot("source", p.source);
    for (const Complaint& c : p.complaints) d.complaint(c);
    for (const Complaint& c : p.valueComplaints) {
        out += "  if a number is wanted:\n  ";
        d.complaint(c);
    }
}

void dumpTable(std::string& out, const CsvTable& t) {
    out += "  columns    ";
    for (const auto& c : t.columns) out += " `" + c.name.text + "`" + (c.text ? " text" : c.unit.present() ? " [" + c.unit.text + "]" : "") + ";";
    out += '\n';
    if (!t.comment.empty()) out += "  comment     " + t.comment + '\n';
    for (const auto& line : t.lines) {
        out += "  line " + std::to_string(line.row) + "     ";
        for (const CsvCell& c : line.cells) out += " `" + std::string(c.text) + "`";
        out += '\n';
    }
    for (const auto& g : t.diagnostics)
        out += "  ! " + std::string(diag::codeText(g.code)) + "  row " + std::to_string(g.place.row) + "  " + std::to_string(g.place.span.begin) + ".." +
               std::to_string(g.place.span.end) + "  " + g.message + "; mend: " + g.mend + '\n';
}

} // namespace

std::string dump(const Document& d) {
    std::string out;
    const auto& rows = d.rows();
    auto misfit = d.misfits().begin();
    for (std::uint32_t i = 0; i < rows.size(); ++i) {
        const Row& row = rows[i];
        out += std::to_string(i) + ' ' + std::string(row.kind == RowKind::Mark && row->keyword.present() ? row->keyword.text : kindName(row.kind));
        if (row.owner != Row::kNoOwner) out += " in " + std::to_string(row.owner);
        if (row.lines != 1) out += ", " + std::to_string(row.lines) + " lines";
        out += '\n';
        if (row.parts) dumpParts(out, row);
        if (opens(row) == Block::Table) dumpTable(out, blockTable(d, i));
        for (; misfit != d.misfits().end() && misfit->row == i; ++misfit) Dumper(out).complaint(misfit->complaint);
    }
    return out;
}

} // namespace spanwright::syntax
