// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "engine/report/facts.h"
#include "engine/syntax/document.h"

namespace spanwright::report {

namespace {

using meaning::Kind;

std::optional<double> finite(double v) {
    if (!std::isfinite(v)) return std::nullopt;
    return v;
}

std::string plainFormula(const meaning::Sheet& sheet, meaning::ExprId id) {
    if (!id.valid()) return {};
    return meaning::plain(meaning::typeset(sheet.exprs, id, meaning::namingOf(sheet)));
}

std::string_view relationText(syntax::Op op) {
    switch (op) {
    case syntax::Op::Less: return " < ";
    case syntax::Op::LessEqual: return " ≤ ";
    case syntax::Op::Greater: return " > ";
    case syntax::Op::GreaterEqual: return " ≥ ";
    case syntax::Op::Equal: return " = ";
    default: return " ? ";
    }
}

std::string formulaText(const meaning::Sheet& sheet, const meaning::Quantity& q, const job::QuantityView& view) {
    // What the job states stands in the place of the sheet's default.
    if (view.stated || view.overridden) return view.statedText;
    std::string out = plainFormula(sheet, q.formula);
    if (q.kind == Kind::Check && q.right.valid()) out += std::string(relationText(q.relation)) + plainFormula(sheet, q.right);
    return out;
}

std::string shownCase(const job::Job& job, std::size_t member, const meaning::Quantity& q, std::size_t index, double si) {
    if (q.type == meaning::Type::Number) return units::showValue(si, q.unit, q.show);
    if (q.type == meaning::Type::Truth) return si != 0.0 ? "yes" : "no";
    return job.working(member, q.id, index).shown;
}

void gatherRow(const job::Job& job, std::size_t member, const job::QuantityView& view, const std::vector<job::CheckView>& checks, const Want& want,
               RowFact& out) {
    const meaning::Sheet& sheet = job.sheet(member);
    const meaning::Quantity& q = sheet.at(view.id);
    out.view = view;
    out.kind = q.kind;
    out.type = q.type;
    out.part = q.part;
    out.otherwise = q.otherwise;
    out.formula = formulaText(sheet, q, view);
    out.siUnit = q.dimension.text();
    const eval::Value& value = job.value(member, q.id);
    if (q.kind == Kind::Each || q.kind == Kind::List) out.table = value.table ? value.table : q.table;
    const bool isRow = q.kind != Kind::Each && q.kind != Kind::List;
    if (isRow && value.known())
        for (const meaning::QuantityId axis : q.axes) out.axes.push_back(job.caseLabels(member, axis));
    const bool numeric = q.type == meaning::Type::Number || q.type == meaning::Type::Truth;
    const bool holdsNumber = q.kind != Kind::Each && q.kind != Kind::List && q.kind != Kind::Beam && q.kind != Kind::Plot && q.kind != Kind::Piece &&
                             q.kind != Kind::Schedule && q.kind != Kind::Sketch;
    if (value.known() && holdsNumber && q.kind != Kind::Check) {
        if (q.axes.empty()) {
            if (numeric) out.si = finite(value.one);
        } else {
            const std::vector<std::string> labels = job.caseLabels(member, q.id);
            const std::size_t n = std::min(labels.size(), value.many.size());
            out.cases.reserve(n);
            for (std::size_t i = 0; i < n; ++i) {
                const double si = value.many[i];
                out.cases.push_back({labels[i], numeric ? finite(si) : std::nullopt, shownCase(job, member, q, i, si)});
            }
        }
    }
    if (!want.workings) return;
    if (q.kind == Kind::Plot) {
        if (value.known()) out.plot = job.plot(member, q.id);
        return;
    }
    if (q.kind == Kind::Sketch) {
        out.sketch = job.sketch(member, q.id);
        return;
    }
    if (q.kind == Kind::Piece || q.kind == Kind::Schedule || q.kind == Kind::Condition) return;
    std::optional<std::size_t> caseIndex;
    for (const job::CheckView& c : checks) {
        if (c.id == q.id && !c.cases.empty()) caseIndex = c.governingCase;
    }
    out.working = job.working(member, q.id, caseIndex);
    out.letters = out.working->letters;
}

PartFact gatherPart(const job::Job& job, std::size_t member, const meaning::Sheet& sheet, const meaning::Part& part) {
    PartFact out;
    out.title = part.title;
    out.hasOtherwise = part.hasOtherwise;
    if (!part.condition.valid()) return out;
    out.condition = plainFormula(sheet, sheet.at(part.condition).formula);
    const eval::Value& v = job.value(member, part.condition);
    out.applies = !v.known() ? PartFact::Applies::Unknown : v.one != 0.0 ? PartFact::Applies::Yes : PartFact::Applies::No;
    return out;
}

/// What the job says in words: remarks, and the notes under its members.
void gatherWords(const job::Job& job, JobFacts& out) {
    if (job.isSingleSheet()) return;
    const std::optional<std::string> text = job.text(job.path());
    if (!text) return;
    const syntax::Document document = syntax::Document::read(job.path(), syntax::FileKind::Job, *text);
    for (const syntax::Row& row : document.rows()) {
        if (row.kind == syntax::RowKind::Remark)
            out.remarks.push_back({row->member.text, row->name.text, row->by.text, row->on.text, row->rest.text, row->keyword.text == "answer"});
        if (row.kind != syntax::RowKind::Note || row.owner == syntax::Row::kNoOwner) continue;
        for (MemberFacts& m : out.members) {
            if (m.view.row == row.owner) m.notes.push_back(row->rest.text);
        }
    }
}

/// With one member wanted, the status is that member's alone, but a fault of the job file itself counts.
int statusOf(const job::Job& job, const JobFacts& f, const Want& want) {
    if (!want.member) return job.exitStatus();
    for (const DiagnosticFact& d : f.diagnostics) {
        if (d.diagnostic.severity == diag::Severity::Error && d.diagnostic.member.empty() && d.diagnostic.place.file == f.file) return 1;
    }
    switch (f.verdict) {
    case job::Verdict::Ok: return 0;
    case job::Verdict::NotComputed: return 1;
    default: return 3;
    }
}

} // namespace

JobFacts gather(const job::Job& job, const Want& want) {
    JobFacts out;
    out.file = job.path();
    out.singleSheet = job.isSingleSheet();
    out.cover = job.cover();
    out.fingerprint = job.fingerprint();
    out.verdict = job.verdict();
    out.ticks = job.ticks();
    const std::size_t first = want.member.value_or(0);
    const std::size_t last = want.member ? std::min(first + 1, job.memberCount()) : job.memberCount();
    constexpr std::size_t kParts = 1000; // of a member: looking for mends may take longer than all the rest
    bool givenUp = false;
    const auto goesOn = [&](std::size_t member, std::size_t done, std::size_t total) {
        givenUp = givenUp || (want.goOn && !want.goOn((member - first) * kParts + (total > 0 ? done * kParts / total : 0), (last - first) * kParts));
        return !givenUp;
    };
    for (std::size_t i = first; i < last; ++i) {
        if (!goesOn(i, 0, 1)) return out;
        const meaning::Sheet& sheet = job.sheet(i);
        MemberFacts m;
        m.view = job.member(i);
        m.basis = sheet.basis;
        m.cautions = sheet.cautions;
        for (const auto& t : sheet.tables) {
            if (!t || t->comment.empty()) continue;
            const std::string source = t->name + ": " + t->comment;
            if (std::find(m.tableSources.begin(), m.tableSources.end(), source) == m.tableSources.end()) m.tableSources.push_back(source);
        }
        if (want.mends && m.view.verdict == job::Verdict::Fails) {
            trial::Control control;
            control.progress = [&](std::size_t done, std::size_t total) { return goesOn(i, done, total); };
            m.mends = trial::mendsFor(job, i, {}, control);
            if (givenUp) return out;
        }
        if (want.rows || want.workings) {
            for (const meaning::Part& p : sheet.parts) m.parts.push_back(gatherPart(job, i, sheet, p));
            m.rows.resize(m.view.quantities.size());
            for (std::size_t r = 0; r < m.rows.size(); ++r) gatherRow(job, i, m.view.quantities[r], m.view.checks, want, m.rows[r]);
        }
        out.members.push_back(std::move(m));
    }
    if (want.member && !out.members.empty()) out.verdict = out.members.front().view.verdict;
    gatherWords(job, out);
    const diag::Resolver resolve = job.resolver();
    for (diag::Diagnostic d : job.diagnostics()) {
        DiagnosticFact fact;
        if (resolve) {
            fact.at = resolve(d.place);
            for (const diag::Label& l : d.labels) fact.labels.push_back(resolve(l.place));
        }
        fact.labels.resize(d.labels.size());
        fact.diagnostic = std::move(d);
        out.diagnostics.push_back(std::move(fact));
    }
    out.exitStatus = statusOf(job, out, want);
    out.pinned = trial::pinnedIn(job).size();
    if (want.trials && !want.member)
        for (trial::PinnedPlan& plan : trial::planPinned(job)) out.trials.push_back(trial::workPinned(plan, {}));
    if (want.shop && !want.member) out.shop = std::make_shared<const shop::Workshop>(shop::work(job));
    return out;
}

} // namespace spanwright::report
