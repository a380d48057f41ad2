// SPDX-License-Identifier: MIT
#include <algorithm>

#include "engine/report/build.h"
#include "engine/report/words.h"

namespace spanwright::report {

namespace {

constexpr std::size_t kEditionLines = 10;

void pair(Table& t, const std::string& label, const std::string& value) { t.rows.push_back({{faintText(label)}, {plainText(value)}}); }

/// What the job leaves unsaid is said to be so: an empty box on a cover is filled in by hand.
std::string orOpen(const std::string& value) { return value.empty() ? "not stated" : value; }

/// Whoever holds a part must know that it is one.
void leftOut(Section& s, const JobFacts& f, const ReportScope& scope) {
    if (scope.members.empty() && !scope.brief) return;
    Framed frame{"This print is a part", {}};
    Bullets list;
    if (!scope.members.empty()) {
        std::string marks;
        for (std::size_t i = 0; i < f.members.size(); ++i) {
            if (holds(scope, i)) marks += (marks.empty() ? "" : ", ") + f.members[i].view.mark;
        }
        list.items.push_back({{plainText("It holds " + marks + " of the job's " + counted(f.members.size(), "member", "members") +
                                         "; verdict, schedule and assumptions are of the whole job.")},
                              {}});
    }
    if (scope.brief) list.items.push_back({{plainText("It holds stated values, checks and sketches; the calculation itself is not printed.")}, {}});
    if (f.pinned > 0)
        list.items.push_back(
            {{plainText("It leaves out the job's " + counted(f.pinned, "trial", "trials") + "; the whole print holds what comes of them.")}, {}});
    frame.blocks.push_back({std::move(list)});
    s.blocks.push_back({std::move(frame)});
}

} // namespace

Section coverSection(const JobFacts& f, const ReportScope& scope) {
    Section s;
    s.id = "cover";
    s.blocks.push_back({Heading{1, {plainText(f.cover.title.empty() ? f.file : f.cover.title)}, ""}});
    s.blocks.push_back({Paragraph{{plainText("Calculation of timber members")}}});
    Table t;
    t.ruled = false;
    t.columns = {{"", Table::Align::Left, false}, {"", Table::Align::Left, true}};
    pair(t, "place", orOpen(f.cover.place));
    pair(t, "made by", orOpen(f.cover.author));
    pair(t, "checked by", orOpen(f.cover.checker));
    pair(t, "revision", orOpen(f.cover.revision));
    pair(t, "date", orOpen(f.cover.date));
    const std::vector<std::string> editions = editionsOf(f);
    if (editions.empty()) pair(t, "editions", "no basis stated");
    // A line each, unless there are so many that the list would push the cautions off the page.
    std::string many;
    for (const std::string& e : editions) many += (many.empty() ? "" : "; ") + e;
    if (editions.size() > kEditionLines)
        pair(t, "editions", many);
    else
        for (std::size_t i = 0; i < editions.size(); ++i) pair(t, i == 0 ? "editions" : "", editions[i]);
    pair(t, "fingerprint of the inputs", f.fingerprint);
    t.rows.push_back({{faintText("verdict")}, {boxedWord(stampOf(f.verdict))}});
    s.blocks.push_back({std::move(t)});
    for (const std::string& note : f.cover.notes) s.blocks.push_back({Paragraph{symbolsMarked(note), Paragraph::Role::Note}});
    leftOut(s, f, scope);
    if (!f.overrides.empty()) {
        Framed set{"Set for this print only; the file says otherwise", {}};
        Bullets list;
        for (const std::string& o : f.overrides) list.items.push_back({{codeText(o)}, {}});
        set.blocks.push_back({std::move(list)});
        s.blocks.push_back({std::move(set)});
    }
    Framed cautions{"Cautions", {}};
    Bullets list;
    for (const std::string& c : f.singleSheet ? cautionsOf(f) : standingCautions()) list.items.push_back({symbolsMarked(c), {}});
    cautions.blocks.push_back({std::move(list)});
    // What a sheet says stands with the marks that it is said of.
    for (const CautionGroup& g : f.singleSheet ? std::vector<CautionGroup>() : cautionGroups(f)) {
        std::string marks;
        for (const std::size_t m : g.members) marks += (marks.empty() ? "" : ", ") + f.members[m].view.mark;
        Inlines line{strongText(marks), plainText("  ")};
        for (std::size_t i = 0; i < g.cautions.size(); ++i) {
            if (i > 0) line.push_back(plainText(" "));
            for (Inline& w : symbolsMarked(g.cautions[i])) line.push_back(std::move(w));
        }
        cautions.blocks.push_back({Paragraph{std::move(line)}});
    }
    s.blocks.push_back({std::move(cautions)});
    return s;
}

Section contentsSection(const JobFacts& f, const ReportScope& scope) {
    Section s;
    s.id = "contents";
    s.title = "Contents";
    Bullets list;
    const auto entry = [](const std::string& target, const std::string& text) { return Bullets::Item{{linkTo(target, text)}, {}}; };
    Bullets::Item basis = entry("basis", "Basis, assumptions and schedule");
    basis.below.push_back(entry("schedule", "Schedule"));
    basis.below.push_back(entry("load-path", "Load path"));
    basis.below.push_back(entry("assumptions", "Assumptions"));
    const bool tables = std::any_of(f.members.begin(), f.members.end(), [](const MemberFacts& m) { return !m.tableSources.empty(); });
    if (!scope.brief && tables) basis.below.push_back(entry("tables", "Tables used"));
    basis.below.push_back(entry("not-stated", "Not stated"));
    if (!f.diagnostics.empty()) basis.below.push_back(entry("faults", "What is wrong"));
    if (!f.ticks.empty() || !f.remarks.empty()) basis.below.push_back(entry("review", "Review"));
    list.items.push_back(std::move(basis));
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        if (!holds(scope, i)) continue;
        const job::MemberView& m = f.members[i].view;
        Bullets::Item item;
        item.text = {linkTo(memberId(i), m.mark), plainText("  " + (m.purpose.empty() ? m.sheetTitle : m.purpose) + "  "), boxedWord(stampOf(m.verdict))};
        list.items.push_back(std::move(item));
    }
    if (!f.trials.empty() && !scope.brief && scope.members.empty()) list.items.push_back(entry("trials", "Trials"));
    if (f.shop && f.shop->rows.any && !scope.brief && scope.members.empty()) {
        for (const auto& [id, title] : {std::pair{"shop-buy", "What to buy"},
                                        {"shop-plan", "Cutting plan"},
                                        {"shop-list", "Cut list"},
                                        {"shop-labels", "Labels for parts"},
                                        {"shop-mass", "Mass and lifting"},
                                        {"shop-cost", "Cost"}})
            list.items.push_back(entry(id, title));
    }
    s.blocks.push_back({std::move(list)});
    return s;
}

} // namespace spanwright::report
