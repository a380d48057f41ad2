// SPDX-License-Identifier: MIT
#include <map>
#include <tuple>

#include "engine/report/build.h"
#include "engine/report/words.h"

namespace spanwright::report {

namespace {

using Align = Table::Align;

std::string placeText(const DiagnosticFact& d) {
    std::string out = d.diagnostic.place.file;
    if (d.at) out += ":" + std::to_string(d.at->line) + ":" + std::to_string(d.at->column);
    return out;
}

void schedule(Section& s, const JobFacts& f) {
    s.blocks.push_back({Heading{3, {plainText("Schedule")}, "schedule"}});
    if (f.members.empty())
        s.blocks.push_back({Paragraph{{plainText("There are no members: nothing is proven.")}}});
    else
        s.blocks.push_back({scheduleTable(f, true)});
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        const job::MemberView& m = f.members[i].view;
        if (m.reasons.empty()) continue;
        Bullets why;
        for (const std::string& r : m.reasons) why.items.push_back({namesMarked(r), {}});
        s.blocks.push_back({Paragraph{{linkTo(memberId(i), m.mark), plainText("  "), boxedWord(stampOf(m.verdict)), plainText("  because")}}});
        s.blocks.push_back({std::move(why)});
    }
}

void loadPath(Section& s, const JobFacts& f) {
    s.blocks.push_back({Heading{3, {plainText("Load path")}, "load-path"}});
    if (!hasLoadPath(f)) {
        s.blocks.push_back({Paragraph{{plainText("No member takes a value from another: each stands for itself.")}}});
        return;
    }
    s.blocks.push_back({Paragraph{{plainText("From what carries nothing else down to what carries all; reactions pass by name and are not copied.")}}});
    if (f.members.size() <= 60)
        s.blocks.push_back(
            {Figure{loadPathDrawing(f), "who rests on whom; a broken line gives a value back; hatched: on what is below and not calculated here"}});
    s.blocks.push_back({loadPathList(f)});
}

void assumptions(Section& s, const JobFacts& f) {
    s.blocks.push_back({Heading{3, {plainText("Assumptions")}, "assumptions"}});
    // What several members take alike is said once, with all their marks.
    struct Said {
        const job::Assumption* what;
        std::vector<std::size_t> members;
    };
    std::vector<Said> all;
    std::map<std::tuple<bool, std::string, std::string, std::string>, std::size_t> known;
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        for (const job::Assumption& a : f.members[i].view.assumptions) {
            const auto [at, fresh] =
                known.try_emplace({a.id.valid(), a.id.valid() ? a.name : std::string(), a.shown, a.id.valid() ? a.what : std::string()}, all.size());
            if (fresh) all.push_back({&a, {}});
            std::vector<std::size_t>& members = all[at->second].members;
            if (members.empty() || members.back() != i) members.push_back(i);
        }
    }
    Table t;
    t.columns = {{"members", Align::Left, true}, {"name", Align::Left, false}, {"value", Align::Left, true}, {"what", Align::Left, true}};
    Table supposed;
    supposed.caption = "what the sheets suppose";
    supposed.columns = {{"members", Align::Left, true}, {"what", Align::Left, true}};
    for (const Said& said : all) {
        Inlines marks;
        for (const std::size_t i : said.members) {
            if (!marks.empty()) marks.push_back(plainText(", "));
            marks.push_back(linkTo(memberId(i), f.members[i].view.mark));
        }
        const job::Assumption& a = *said.what;
        if (a.id.valid())
            t.rows.push_back({std::move(marks), {nameText(a.name)}, {plainText(a.shown)}, symbolsMarked(a.what)});
        else
            supposed.rows.push_back({std::move(marks), symbolsMarked(a.shown)});
    }
    if (t.rows.empty())
        s.blocks.push_back({Paragraph{{plainText("None: the job states every value.")}}});
    else {
        s.blocks.push_back({Paragraph{{plainText("Values that the job does not state and that the sheets therefore take as given.")}}});
        s.blocks.push_back({std::move(t)});
    }
    if (!supposed.rows.empty()) s.blocks.push_back({std::move(supposed)});
}

/// Where the tables come from that the printed calculations read: each once, with all members that read it.
void tablesUsed(Section& s, const JobFacts& f, const ReportScope& scope) {
    if (scope.brief) return;
    std::vector<std::pair<std::string, Inlines>> all;
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        if (!holds(scope, i)) continue;
        for (const std::string& source : f.members[i].tableSources) {
            auto at = std::find_if(all.begin(), all.end(), [&](const auto& known) { return known.first == source; });
            if (at == all.end()) at = all.insert(all.end(), {source, {}});
            if (!at->second.empty()) at->second.push_back(plainText(", "));
            at->second.push_back(linkTo(memberId(i), f.members[i].view.mark));
        }
    }
    if (all.empty()) return;
    s.blocks.push_back({Heading{3, {plainText("Tables used")}, "tables"}});
    Table t;
    t.columns = {{"table", Align::Left, false}, {"source", Align::Left, true}, {"members", Align::Left, true}};
    for (auto& [source, marks] : all) {
        const std::size_t colon = std::min(source.find(": "), source.size());
        t.rows.push_back({{plainText(source.substr(0, colon))}, symbolsMarked(source.substr(std::min(colon + 2, source.size()))), std::move(marks)});
    }
    s.blocks.push_back({std::move(t)});
}

void notStated(Section& s, const JobFacts& f) {
    s.blocks.push_back({Heading{3, {plainText("Not stated")}, "not-stated"}});
    Table t;
    t.columns = {{"member", Align::Left, false}, {"name", Align::Left, false}, {"what", Align::Left, true}};
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        const job::MemberView& m = f.members[i].view;
        for (const std::string& name : m.notStated) {
            std::string what;
            for (const job::QuantityView& q : m.quantities) {
                if (q.name == name) what = q.what;
            }
            t.rows.push_back({{linkTo(memberId(i), m.mark)}, {nameText(name)}, symbolsMarked(what)});
        }
    }
    if (t.rows.empty())
        s.blocks.push_back({Paragraph{{plainText("Nothing: every value that has to be stated is stated.")}}});
    else
        s.blocks.push_back({std::move(t)});
    Table differs;
    differs.columns = {{"member", Align::Left, false}, {"differs from its ready sheet", Align::Left, true}};
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        for (const std::string& d : f.members[i].view.differs) differs.rows.push_back({{linkTo(memberId(i), f.members[i].view.mark)}, {plainText(d)}});
    }
    if (!differs.rows.empty()) s.blocks.push_back({std::move(differs)});
}

void faults(Section& s, const JobFacts& f) {
    if (f.diagnostics.empty()) return;
    s.blocks.push_back({Heading{3, {plainText("What is wrong")}, "faults"}});
    Table t;
    t.columns = {{"place", Align::Left, true}, {"code", Align::Left, false}, {"what is wrong, and how to mend it", Align::Left, true}};
    for (const DiagnosticFact& d : f.diagnostics) {
        Inlines what = namesMarked(std::string(diag::severityText(d.diagnostic.severity)) + ": " + d.diagnostic.message);
        if (!d.diagnostic.mend.empty()) {
            what.push_back(faintText("; mend: "));
            for (Inline& i : namesMarked(d.diagnostic.mend)) what.push_back(std::move(i));
        }
        t.rows.push_back({{codeText(placeText(d))}, {plainText(std::string(diag::codeText(d.diagnostic.code)))}, std::move(what)});
    }
    s.blocks.push_back({std::move(t)});
}

/// "J1.M_d", leading to its line.
Inline valueLink(const JobFacts& f, const std::string& mark, const std::string& name) {
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        if (f.members[i].view.mark != mark) continue;
        if (name.empty()) return linkTo(memberId(i), mark);
        if (const auto row = rowNamed(f.members[i], name)) return linkTo(rowId(i, *row), mark + "." + name);
    }
    return codeText(name.empty() ? mark : mark + "." + name);
}

void review(Section& s, const JobFacts& f) {
    if (f.ticks.empty() && f.remarks.empty()) return;
    s.blocks.push_back({Heading{3, {plainText("Review")}, "review"}});
    Table t;
    t.columns = {{"value", Align::Left, false}, {"by", Align::Left, false}, {"on", Align::Left, false}, {"tick or remark", Align::Left, true}};
    for (const job::TickView& k : f.ticks) {
        std::string text = "tick " + std::string(tickWord(k.state));
        if (!k.changed.empty()) text += ": changed since then: " + k.changed;
        t.rows.push_back({{valueLink(f, k.member, k.name)}, {plainText(k.by)}, {plainText(k.on)}, {plainText(text + "; letters "), codeText(k.letters)}});
    }
    for (const RemarkFact& r : f.remarks) {
        t.rows.push_back({{valueLink(f, r.member, r.name)}, {plainText(r.by)}, {plainText(r.on)}, {plainText((r.answer ? "answer: " : "remark: ") + r.text)}});
    }
    s.blocks.push_back({std::move(t)});
}

} // namespace

Section basisSection(const JobFacts& f, const ReportScope& scope) {
    Section s;
    s.id = "basis";
    s.title = "Basis, assumptions and schedule";
    Table t;
    t.columns = {{"member", Align::Left, false}, {"sheet", Align::Left, true}, {"follows", Align::Left, true}};
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        const MemberFacts& m = f.members[i];
        t.rows.push_back({{linkTo(memberId(i), m.view.mark)}, {codeText(m.view.sheetName), plainText("  " + m.view.sheetTitle)}, {plainText(editionsOf(m))}});
    }
    if (!t.rows.empty()) s.blocks.push_back({std::move(t)});
    // The one number that formulas use and no line states.
    s.blocks.push_back({Paragraph{{plainText("Formulas write "), nameText("g_n"),
                                   plainText(" for the standard acceleration of free fall, 9.80665 m/s²; printed "
                                             "values are rounded, four digits unless a row says otherwise, and calculated with unrounded.")}}});
    schedule(s, f);
    loadPath(s, f);
    assumptions(s, f);
    tablesUsed(s, f, scope);
    notStated(s, f);
    faults(s, f);
    review(s, f);
    return s;
}

} // namespace spanwright::report
