// SPDX-License-Identifier: MIT
#include <algorithm>
#include <map>

#include "engine/report/build.h"
#include "engine/report/case_tables.h"
#include "engine/report/equation.h"
#include "engine/report/member_head.h"
#include "engine/report/on_the_way.h"
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
        // The table's name alone: its whole source stands once, among the tables used.
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

/// The rows of a table, once a member: `said` holds those that stand above, by their id and cells.
void rowsTable(std::vector<Block>& out, const meaning::Table& table, std::map<std::string, std::string>& said, const std::string& row) {
    std::string all;
    for (const meaning::Table::Column& c : table.columns) all += c.name + "\x1f" + c.unit.shown + "\x1f";
    for (const auto& column : table.texts)
        for (const std::string& cell : column) all += cell + "\x1e";
    const auto [known, fresh] = said.try_emplace(all, row);
    if (!fresh && table.rowCount() > 0) {
        out.push_back({Paragraph{{faintText("rows as at "), linkTo(known->second, table.name)}}});
        return;
    }
    Table t;
    for (const meaning::Table::Column& c : table.columns) {
        const bool bare = c.text || c.unit.shown.empty();
        t.columns.push_back({bare ? c.name : c.name + " [" + c.unit.shown + "]", c.text ? Align::Left : Align::Right, c.text, true});
    }
    if (t.columns.empty()) return;
    const std::size_t rows = table.rowCount();
    for (std::size_t r = 0; r < rows && r < kMaxShown; ++r) {
        std::vector<Inlines> line;
        for (std::size_t c = 0; c < table.columns.size(); ++c) {
            const bool has = c < table.texts.size() && r < table.texts[c].size();
            const std::string cell = has ? table.texts[c][r] : "";
            line.push_back(table.columns[c].text ? symbolsAmong({plainText(cell)}) : Inlines{plainText(cell)});
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

bool hasLine(const RowFact& r) {
    if (r.view.state == eval::State::NotApplicable && r.kind != Kind::Check && r.kind != Kind::Require) return false;
    return r.kind != Kind::Condition && r.kind != Kind::Switch && r.kind != Kind::Piece && r.kind != Kind::Schedule;
}

/// Which values of other members it takes, each leading to its line.
void fromOthers(CalcLine& line, const JobFacts& f, const MemberFacts& m, const job::Working& w) {
    Inlines out;
    for (const job::Working::Neighbour& n : w.comesFrom) {
        if (n.member.empty() || n.member == m.view.mark) continue;
        const auto other = std::find_if(f.members.begin(), f.members.end(), [&](const MemberFacts& o) { return o.view.mark == n.member; });
        if (other == f.members.end()) continue;
        const auto row = rowNamed(*other, n.name);
        out.push_back(faintText(out.empty() ? "from " : ", "));
        const std::string id = row ? rowId(static_cast<std::size_t>(other - f.members.begin()), *row) : std::string();
        out.push_back(row ? linkTo(id, n.member + ".") : plainText(n.member + "."));
        out.push_back(row ? nameLink(id, n.name) : nameText(n.name));
    }
    if (!out.empty()) line.calculation.push_back({Paragraph{std::move(out)}});
}

/// What was found on the way to a value, in words. How exact a beam is stands at the beam itself.
std::string detailsOf(const MemberFacts& m, const RowFact& r) {
    std::string out = r.working->caseLabel.empty() || r.table || r.kind == Kind::Beam || isBareValue(r) ? "" : "worked out for " + r.working->caseLabel;
    for (const std::string& d : r.working->details) {
        const bool ofBeam = r.kind != Kind::Beam && std::any_of(m.rows.begin(), m.rows.end(), [&](const RowFact& o) {
                                return o.kind == Kind::Beam && hasLine(o) && d.rfind("beam " + o.view.name + ": ", 0) == 0;
                            });
        if (!ofBeam) out += (out.empty() ? "" : "; ") + d;
    }
    return out;
}

/// Names of the member's rows that stand in words, as symbols.
Inlines symbolsIn(const MemberFacts& m, Inlines words) {
    return symbolsAmong(std::move(words), [&m](const std::string& name) {
        return std::any_of(m.rows.begin(), m.rows.end(),
                           [&](const RowFact& r) { return r.view.name == name && r.kind != Kind::Check && r.kind != Kind::Require; });
    });
}

CalcLine lineOf(const JobFacts& f, std::size_t member, std::size_t index, OnTheWay& onTheWay, std::map<std::string, std::string>& said) {
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
    if (!r.view.what.empty() && !what.empty()) what.push_back(plainText(", "));
    for (Inline& i : symbolsIn(m, symbolsMarked(r.view.what))) what.push_back(std::move(i));
    if (const std::string origin = originOf(r); !origin.empty()) what.push_back(faintText((what.empty() ? "" : "; ") + origin));
    if (!what.empty()) line.calculation.push_back({Paragraph{std::move(what)}});

    if (r.working && !r.table && r.kind != Kind::Beam && !isBareValue(r)) {
        if (Equation e = equationOf(*r.working); !e.lines.empty()) line.calculation.push_back({std::move(e)});
    }
    if (r.working) {
        if (const std::string details = detailsOf(m, r); !details.empty()) line.calculation.push_back({Paragraph{symbolsIn(m, {faintText(details)})}});
        fromOthers(line, f, m, *r.working);
        for (Block& b : onTheWay.blocks(r.working->asides, line.id, r.view.name, {r.working->formula, r.working->right}))
            line.calculation.push_back(std::move(b));
    }
    if (r.table) rowsTable(line.calculation, *r.table, said, line.id);
    const job::CheckView* c = checkOf(m, r);
    // What each case of a check comes to stands with its verdict.
    for (Block& b : c != nullptr && !c->cases.empty() ? checkCases(*c, r.axes) : valueCases(r)) line.calculation.push_back(std::move(b));
    if (c != nullptr) {
        if (!c->reason.empty()) line.calculation.push_back({Paragraph{namesMarked(c->reason)}});
    } else if (!r.view.reason.empty()) {
        line.calculation.push_back({Paragraph{namesMarked(r.view.reason)}});
    }
    if (!r.view.note.empty()) line.calculation.push_back({Paragraph{symbolsIn(m, symbolsMarked(r.view.note)), Paragraph::Role::Note}});
    remarksInto(line.calculation, f, m.view.mark, r.view.name);
    resultInto(line, m, r);
    tickInto(line, f, r);
    return line;
}

/// A part that is switched off says so and names what is left out.
void partHead(Section& s, const MemberFacts& m, std::size_t part) {
    const PartFact& p = m.parts[part];
    // Of a part that holds nothing but what is printed elsewhere, such as pieces to cut, there is nothing to head.
    const bool any = std::any_of(m.rows.begin(), m.rows.end(), [&](const RowFact& r) { return r.part == part && hasLine(r); });
    if (!any && p.applies == PartFact::Applies::Yes) return;
    if (!p.title.empty()) s.blocks.push_back({Heading{3, {plainText(p.title)}, ""}});
    if (p.condition.empty()) return;
    if (p.applies == PartFact::Applies::Yes) {
        s.blocks.push_back({Paragraph{symbolsIn(m, {faintText("applies because "), plainText(p.condition)})}});
        return;
    }
    if (p.applies == PartFact::Applies::Unknown) {
        s.blocks.push_back({Paragraph{symbolsIn(m, {plainText("whether this part applies is not known: it needs " + p.condition)})}});
        return;
    }
    std::string left;
    for (const RowFact& r : m.rows) {
        if (r.part != part || r.otherwise || (r.kind != Kind::Check && r.kind != Kind::Require)) continue;
        left += (left.empty() ? "" : ", ") + r.view.name;
    }
    Inlines text = symbolsIn(m, {boxedWord(Stamp::NotApplicable), plainText("  applies only if " + p.condition)});
    if (!left.empty()) text.push_back(plainText("; so not checked: " + left));
    s.blocks.push_back({Paragraph{std::move(text)}});
    if (p.hasOtherwise) s.blocks.push_back({Paragraph{{faintText("otherwise:")}}});
}

/// The names of its tables; where they come from stands once for all members.
void tablesInto(Section& s, const MemberFacts& m) {
    if (m.tableSources.empty()) return;
    std::string names;
    for (const std::string& t : m.tableSources) names += (names.empty() ? "" : ", ") + t.substr(0, t.find(": "));
    s.blocks.push_back({Paragraph{{faintText("tables " + names + ": their sources stand under "), linkTo("tables", "Tables used")}}});
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
    tablesInto(s, m);
    checksInto(s, member, m, true);
    remarksInto(s.blocks, f, m.view.mark, "");
    OnTheWay onTheWay;
    std::map<std::string, std::string> said;
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
        s.blocks.push_back({lineOf(f, member, i, onTheWay, said)});
    }
    return s;
}

} // namespace spanwright::report
