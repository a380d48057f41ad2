// SPDX-License-Identifier: MIT
#include <algorithm>

#include "engine/report/build.h"
#include "engine/report/equation.h"
#include "engine/report/member_head.h"
#include "engine/report/words.h"
#include "engine/units/format.h"

namespace spanwright::report {

namespace {

using Align = Table::Align;
using meaning::Kind;

constexpr std::size_t kMaxShown = 40; ///< rows of one small table

std::string beyond(std::size_t all) { return "the first " + std::to_string(kMaxShown) + " of " + std::to_string(all) + "; the JSON output holds all"; }

Inlines referenceOf(const RowFact& r) {
    Inlines out;
    if (!r.view.source.empty()) out.push_back(plainText(r.view.source));
    if (r.working) {
        // The table's name alone: its whole source stands once, below the member's last row.
        for (const std::string& t : r.working->tableSources) out.push_back(faintText((out.empty() ? "table " : "; table ") + t.substr(0, t.find(": "))));
    }
    return out;
}

/// Where a value that is not calculated comes from.
std::string originOf(const RowFact& r) {
    if (r.view.overridden) return "set for this print only: " + r.view.statedText;
    if (r.view.stated) return "stated by the job";
    if (r.view.assumed) return "assumed";
    return {};
}

void caseTable(std::vector<Block>& out, const RowFact& r) {
    if (r.cases.empty()) return;
    Table t;
    t.columns = {{"case", Align::Left, true}, {"value", Align::Right, false}};
    const std::string governing = r.working ? r.working->caseLabel : "";
    for (std::size_t i = 0; i < r.cases.size() && i < kMaxShown; ++i) {
        const CaseFact& c = r.cases[i];
        const bool worked = c.label == governing;
        t.rows.push_back({{worked ? strongText(c.label) : plainText(c.label)}, {worked ? strongText(c.shown) : plainText(c.shown)}});
    }
    out.push_back({std::move(t)});
    if (r.cases.size() > kMaxShown) out.push_back({Paragraph{{faintText(beyond(r.cases.size()))}}});
}

void checkCases(std::vector<Block>& out, const job::CheckView& c) {
    if (c.cases.size() < 2) return;
    Table t;
    t.columns = {{"case", Align::Left, true}, {"utilisation", Align::Right, false}, {"verdict", Align::Left, false}};
    for (std::size_t i = 0; i < c.cases.size() && i < kMaxShown; ++i) {
        const job::CheckView::Case& k = c.cases[i];
        t.rows.push_back({{i == c.governingCase ? strongText(k.label) : plainText(k.label)},
                          {plainText(k.utilisation ? units::showUtilisation(*k.utilisation) : "-")},
                          {boxedWord(stampOf(k.state))}});
    }
    out.push_back({std::move(t)});
    if (c.cases.size() > kMaxShown) out.push_back({Paragraph{{faintText(beyond(c.cases.size()))}}});
}

void rowsTable(std::vector<Block>& out, const meaning::Table& table) {
    Table t;
    for (const meaning::Table::Column& c : table.columns) {
        const bool bare = c.text || c.unit.shown.empty();
        t.columns.push_back({bare ? c.name : c.name + " [" + c.unit.shown + "]", c.text ? Align::Left : Align::Right, c.text});
    }
    if (t.columns.empty()) return;
    const std::size_t rows = table.rowCount();
    for (std::size_t r = 0; r < rows && r < kMaxShown; ++r) {
        std::vector<Inlines> line;
        for (std::size_t c = 0; c < table.columns.size(); ++c) {
            const bool has = c < table.texts.size() && r < table.texts[c].size();
            line.push_back({plainText(has ? table.texts[c][r] : "")});
        }
        t.rows.push_back(std::move(line));
    }
    if (rows == 0)
        out.push_back({Paragraph{{plainText("no rows: what varies with it is not applicable")}}});
    else
        out.push_back({std::move(t)});
    if (rows > kMaxShown) out.push_back({Paragraph{{faintText(beyond(rows))}}});
}

const job::CheckView* checkOf(const MemberFacts& m, const RowFact& r) {
    const auto it = std::find_if(m.view.checks.begin(), m.view.checks.end(), [&](const job::CheckView& c) { return c.id == r.view.id; });
    return it == m.view.checks.end() ? nullptr : &*it;
}

void tickInto(CalcLine& line, const JobFacts& f, const RowFact& r) {
    if (r.view.tick && *r.view.tick < f.ticks.size()) {
        const job::TickView& t = f.ticks[*r.view.tick];
        if (t.state == job::TickView::State::Current)
            line.result.push_back({plainText("✓ " + t.by + " " + t.on)});
        else
            line.result.push_back({plainText("tick by " + t.by + " " + std::string(tickWord(t.state)) + (t.changed.empty() ? "" : ": " + t.changed))});
    }
    if (!r.letters.empty()) line.result.push_back({faintText("letters " + r.letters)});
}

void resultInto(CalcLine& line, const MemberFacts& m, const RowFact& r) {
    if (r.kind == Kind::Check || r.kind == Kind::Require) {
        const job::CheckView* c = checkOf(m, r);
        if (c == nullptr) {
            line.result.push_back({boxedWord(Stamp::NotComputed)});
            return;
        }
        if (c->utilisation) line.result.push_back({plainText("utilisation "), strongText(units::showUtilisation(*c->utilisation))});
        line.result.push_back({boxedWord(stampOf(c->state))});
        return;
    }
    if (r.view.state == eval::State::Known) {
        if (!r.view.shown.empty()) line.result.push_back({strongText(r.view.shown)});
        return;
    }
    line.result.push_back({strongText(std::string(stateWord(r.view.state)))});
}

/// A stated or assumed value without a formula: its symbol, what it is and its result fit on one line.
bool isBareValue(const RowFact& r) {
    const bool value = r.kind == Kind::Ask || r.kind == Kind::Given || r.kind == Kind::Choose;
    return value && r.working && r.view.state == eval::State::Known && equationOf(*r.working).lines.size() <= 1;
}

CalcLine lineOf(const JobFacts& f, std::size_t member, std::size_t index) {
    const MemberFacts& m = f.members[member];
    const RowFact& r = m.rows[index];
    CalcLine line;
    line.id = rowId(member, index);
    line.reference = referenceOf(r);
    Inlines what;
    if (r.kind == Kind::Check || r.kind == Kind::Require)
        what.push_back(plainText((r.kind == Kind::Check ? "check " : "required: ") + r.view.name));
    else if (r.kind == Kind::Each || r.kind == Kind::List || r.kind == Kind::Beam || isBareValue(r))
        what.push_back(nameText(r.view.name));
    if (!r.view.what.empty()) what.push_back(plainText((what.empty() ? "" : ", ") + r.view.what));
    if (const std::string origin = originOf(r); !origin.empty()) what.push_back(faintText((what.empty() ? "" : "; ") + origin));
    if (!what.empty()) line.calculation.push_back({Paragraph{std::move(what)}});

    if (r.working && !r.table && r.kind != Kind::Beam && !isBareValue(r)) {
        if (Equation e = equationOf(*r.working); !e.lines.empty()) line.calculation.push_back({std::move(e)});
        if (!r.working->caseLabel.empty()) line.calculation.push_back({Paragraph{{faintText("worked out for " + r.working->caseLabel)}}});
    }
    if (r.working) {
        std::string details;
        for (const std::string& d : r.working->details) details += (details.empty() ? "" : "; ") + d;
        if (!details.empty()) line.calculation.push_back({Paragraph{{faintText(details)}}});
        for (const job::Working::Aside& a : r.working->asides)
            for (Block& b : asideBlocks(a)) line.calculation.push_back(std::move(b));
    }
    if (r.table) rowsTable(line.calculation, *r.table);
    caseTable(line.calculation, r);
    if (const job::CheckView* c = checkOf(m, r); c != nullptr) {
        checkCases(line.calculation, *c);
        if (!c->reason.empty()) line.calculation.push_back({Paragraph{{plainText(c->reason)}}});
    } else if (!r.view.reason.empty()) {
        line.calculation.push_back({Paragraph{{plainText(r.view.reason)}}});
    }
    if (!r.view.note.empty()) line.calculation.push_back({Paragraph{{plainText(r.view.note)}, Paragraph::Role::Note}});
    remarksInto(line.calculation, f, m.view.mark, r.view.name);
    resultInto(line, m, r);
    tickInto(line, f, r);
    return line;
}

/// A part that is switched off says so and names what is left out.
void partHead(Section& s, const MemberFacts& m, std::size_t part) {
    const PartFact& p = m.parts[part];
    if (!p.title.empty()) s.blocks.push_back({Heading{3, {plainText(p.title)}, ""}});
    if (p.condition.empty()) return;
    if (p.applies == PartFact::Applies::Yes) {
        s.blocks.push_back({Paragraph{{faintText("applies because "), plainText(p.condition)}}});
        return;
    }
    if (p.applies == PartFact::Applies::Unknown) {
        s.blocks.push_back({Paragraph{{plainText("whether this part applies is not known: it needs " + p.condition)}}});
        return;
    }
    std::string left;
    for (const RowFact& r : m.rows) {
        if (r.part != part || r.otherwise || (r.kind != Kind::Check && r.kind != Kind::Require)) continue;
        left += (left.empty() ? "" : ", ") + r.view.name;
    }
    Inlines text{boxedWord(Stamp::NotApplicable), plainText("  applies only if " + p.condition)};
    if (!left.empty()) text.push_back(plainText("; so not checked: " + left));
    s.blocks.push_back({Paragraph{std::move(text)}});
    if (p.hasOtherwise) s.blocks.push_back({Paragraph{{faintText("otherwise:")}}});
}

bool hasLine(const RowFact& r) {
    if (r.view.state == eval::State::NotApplicable && r.kind != Kind::Check && r.kind != Kind::Require) return false;
    return r.kind != Kind::Condition && r.kind != Kind::Switch && r.kind != Kind::Piece && r.kind != Kind::Schedule;
}

} // namespace

Section memberSection(const JobFacts& f, std::size_t member) {
    const MemberFacts& m = f.members[member];
    Section s;
    s.id = memberId(member);
    s.mark = m.view.mark;
    s.running = editionsOf(m);
    s.calculation = true;
    headInto(s, m, "");
    checksInto(s, member, m, true);
    remarksInto(s.blocks, f, m.view.mark, "");
    std::size_t part = static_cast<std::size_t>(-1);
    for (std::size_t i = 0; i < m.rows.size(); ++i) {
        const RowFact& r = m.rows[i];
        const bool headed = r.kind != Kind::Switch && r.kind != Kind::Condition;
        if (headed && r.part != part && r.part < m.parts.size()) {
            part = r.part;
            partHead(s, m, part);
        }
        const bool offPart = r.part < m.parts.size() && m.parts[r.part].applies == PartFact::Applies::No && !r.otherwise;
        if (!hasLine(r) || offPart) continue;
        if (r.kind == Kind::Plot) {
            if (r.plot)
                s.blocks.push_back({Figure{plotDrawing(*r.plot), r.view.what}});
            else
                s.blocks.push_back({Paragraph{{plainText("plot " + (r.view.what.empty() ? r.view.name : r.view.what) + ": "), boxedWord(Stamp::NotComputed),
                                               plainText(" " + r.view.reason)}}});
            continue;
        }
        if (r.kind == Kind::Sketch) {
            if (r.sketch) sketchInto(s, *r.sketch, r.view);
            continue;
        }
        s.blocks.push_back({lineOf(f, member, i)});
    }
    if (!m.tableSources.empty()) {
        s.blocks.push_back({Heading{3, {plainText("Tables used")}, ""}});
        Bullets list;
        for (const std::string& t : m.tableSources) list.items.push_back({{plainText(t)}, {}});
        s.blocks.push_back({std::move(list)});
    }
    return s;
}

} // namespace spanwright::report
