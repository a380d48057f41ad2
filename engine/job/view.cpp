// SPDX-License-Identifier: MIT
// A member as shown, its verdict, and all that is wrong in a job.
#include <algorithm>
#include <set>
#include <tuple>

#include "engine/job/core.h"

namespace spanwright::job {

using diag::Code;
using diag::Diagnostic;
using diag::Severity;
using eval::State;
using eval::Value;

Diagnostic Core::notStated(std::uint32_t slot, const meaning::Quantity& q) const {
    const Member& m = at(slot);
    const syntax::Document& sheet = m.sheet->document();
    const std::string what = q.what.empty() ? "" : " (" + q.what + ")";
    Diagnostic d{
        Code::NotStated, Severity::Warning, sheet.place(q.row, sheet.rows()[q.row]->name.span), quoted(q.name) + what + " is not stated", {}, {}, {}, {}};
    const std::string example = q.kind == Kind::Choose ? "a row of " + (q.table ? q.table->name : "its table")
                                : q.unit.ascii.empty() ? "..."
                                                       : "... " + q.unit.ascii;
    if (m_single) {
        d.mend = "state it here and now with `--set " + q.name + "=...`, or use the sheet in a job";
        return d;
    }
    d.member = m.mark;
    d.message += " for " + m.mark;
    d.labels.push_back({d.place, "asked for here"});
    const syntax::Row& row = m_document.rows()[m.row];
    const Statement* s = m.statement(q.id.value);
    d.place = s != nullptr && !s->own ? m_document.place(s->row, s->span) : m_document.place(m.row, row->name.span);
    d.mend = (s != nullptr ? "write here " : "write under the member: `with " + q.name + " = ...`, ") + std::string(q.kind == Kind::Choose ? "" : "a value: ") +
             example;
    return d;
}

std::string saidFrom(const syntax::Row& row) {
    if (row.kind != syntax::RowKind::With) return {};
    return row->what.text + (row->source.present() ? (row->what.present() ? ", " : "") + row->source.text : std::string());
}

std::vector<std::uint32_t> Core::sourcesOf(std::uint32_t slot) const {
    if (at(slot).readsFrom.empty() && at(slot).readsGivens == 0) return {};
    std::set<std::uint32_t> seen{slot}, givens;
    std::vector<std::uint32_t> out, open{slot};
    const auto look = [&](const Statement& s, const auto& self) -> void {
        for (const Ref& r : s.references) {
            if (r.slot == Ref::kJob) {
                if (givens.insert(r.quantity).second) self(m_givens[r.quantity].statement, self);
            } else if (r.slot < m_members.size() && !at(r.slot).gone && seen.insert(r.slot).second) {
                out.push_back(r.slot);
                open.push_back(r.slot);
            }
        }
    };
    while (!open.empty()) {
        const Member& m = at(open.back());
        open.pop_back();
        for (const auto& [quantity, s] : m.stated) look(s, look);
    }
    std::sort(out.begin(), out.end(), [this](std::uint32_t a, std::uint32_t b) { return at(a).place < at(b).place; });
    return out;
}

std::string Core::unsettled(std::uint32_t slot) const {
    for (const CheckView& c : ownView(slot).checks) {
        if (c.state == CheckView::State::Fails) return quoted(c.name) + " fails: " + c.reason;
        if (c.state == CheckView::State::NotProven) return c.isRequire ? c.reason : quoted(c.name) + " is not proven: " + c.reason;
        if (c.state == CheckView::State::NotComputed) return quoted(c.name) + " could not be computed";
    }
    return {};
}

const std::vector<std::uint32_t>& Core::troubledIn(const Member& m) const {
    if (!m.troubled) {
        std::vector<std::uint32_t> found;
        for (std::size_t i = 0; i < m.values.values.size(); ++i)
            if (const State state = m.values.values[i].state; state == State::Failed || state == State::NotStated)
                found.push_back(static_cast<std::uint32_t>(i));
        m.troubled = std::move(found);
    }
    return *m.troubled;
}

// A value is worth no more than the member it is taken from: loads whose layers nobody stated come out as zero, and what carries
// zero is no proof. So whoever takes values from a member with a check or requirement that does not pass is not proven,
// whether the value taken depends on it or not.
const MemberView& Core::view(std::uint32_t slot) const {
    const Member& m = at(slot);
    MemberView& view = ownView(slot);
    if (m.viewStamp == m_viewStamp) return view;
    view.verdict = m.ownVerdict;
    view.reasons.resize(m.ownReasons);
    if (m.ownVerdict == Verdict::Ok) // else there are nearer reasons
        for (const std::uint32_t source : sourcesOf(slot))
            if (const std::string why = unsettled(source); !why.empty()) {
                view.verdict = Verdict::NotProven;
                view.reasons.push_back("it takes values from " + at(source).mark + ", where " + why);
            }
    m.viewStamp = m_viewStamp;
    return view;
}

MemberView& Core::ownView(std::uint32_t slot) const {
    const Member& m = at(slot);
    if (m.view) return *m.view;
    if (m.sheet != nullptr) catchUp(*m.sheet);
    m.view = std::make_unique<MemberView>();
    MemberView& view = *m.view;
    view.mark = m.mark;
    view.purpose = m.purpose;
    view.sheetName = m.sheetName;
    view.row = m.row;
    view.count = m.count;
    view.insteadOf = m.insteadOf;
    for (const auto& [other, n] : m.feedsTo)
        if (other != slot) view.feedsMembers.push_back(at(other).mark);
    for (const auto& [other, n] : m.readsFrom)
        if (other != slot) view.readsMembers.push_back(at(other).mark);
    const auto inOrder = [this](const std::string& a, const std::string& b) { return at(*slotOf(a)).place < at(*slotOf(b)).place; };
    std::sort(view.feedsMembers.begin(), view.feedsMembers.end(), inOrder);
    std::sort(view.readsMembers.begin(), view.readsMembers.end(), inOrder);

    std::vector<std::string> errors, fails, unproven;
    if (const std::size_t n = errorsIn(m.problems); n > 0) {
        const auto first = std::find_if(m.problems.begin(), m.problems.end(), [](const Diagnostic& d) { return d.severity == Severity::Error; });
        errors.push_back(first->message + (n > 1 ? " (and " + std::to_string(n - 1) + " more)" : ""));
    }
    errors.insert(errors.end(), m.textErrors.begin(), m.textErrors.end());
    if (m.sheet == nullptr || !m.sheet->sheet) {
        if (errors.empty()) errors.emplace_back("the member names no sheet that could be read");
        view.verdict = m.ownVerdict = Verdict::NotComputed;
        view.reasons = std::move(errors);
        m.ownReasons = view.reasons.size();
        return view;
    }
    const meaning::Sheet& sheet = *m.sheet->sheet;
    view.sheetTitle = sheet.title;

    std::map<std::string, std::uint32_t> ticked;
    const std::vector<TickView>& all = ticks();
    for (std::uint32_t i = 0; i < all.size(); ++i)
        if (all[i].member == m.mark) ticked.emplace(all[i].name, i);
    std::multimap<std::string, std::uint32_t> remarked;
    for (std::uint32_t i = 0; i < m_remarks.size(); ++i)
        if (m_remarks[i].member == m.mark && !m_remarks[i].name.empty()) remarked.emplace(m_remarks[i].name, i);

    // Rows that failed, each cause once; blocked rows lead to a cause that may lie in another member.
    std::size_t failedRows = 0;
    std::string firstFailed;
    const auto inText = [this](Ref a, Ref b) {
        const auto place = [this](Ref r) { return std::pair(r.slot == Ref::kJob ? r.slot : at(r.slot).place, r.quantity); };
        return place(a) < place(b);
    };
    std::set<Ref, decltype(inText)> foreign(inText); // in the order of the text, whatever was edited before
    std::set<std::string> lostMembers;
    bool unfinished = false;
    m.troubled.emplace();
    view.quantities.reserve(sheet.quantities.size());
    for (const meaning::Quantity& q : sheet.quantities) {
        const Ref ref{slot, q.id.value};
        const Value& v = m.values.at(q.id);
        const Statement* s = m.statement(q.id.value);
        QuantityView row;
        row.id = q.id;
        row.name = q.name;
        row.what = q.what;
        row.source = q.source;
        row.note = q.note;
        row.state = v.state;
        if (s != nullptr && !s->patch) {
            row.stated = s->sort != Statement::Sort::Unstated;
            row.overridden = s->overriding;
            row.statedText = s->sort == Statement::Sort::List ? std::string() : s->text;
            if (!s->own && row.stated && s->row < m_document.rows().size()) row.statedFrom = saidFrom(m_document.rows()[s->row]);
        }
        row.assumed = s == nullptr && v.known() && (q.kind == Kind::Given || (q.kind == Kind::Choose && q.defaultRow));
        row.shown = shownValue(slot, q);
        row.unitShown = q.unit.shown;
        row.reason = reasonOf(slot, ref);
        if (const auto tick = ticked.find(q.name); tick != ticked.end() && !q.name.empty()) row.tick = tick->second;
        for (auto [r, end] = remarked.equal_range(q.name); r != end; ++r) row.remarks.push_back(r->second);
        if (row.assumed) view.assumptions.push_back({q.id, q.name, q.what, row.shown});
        if (v.state == State::Failed || v.state == State::NotStated) m.troubled->push_back(q.id.value);
        switch (v.state) {
        case State::NotStated: view.notStated.push_back(q.name); break;
        case State::Failed:
            if (failedRows++ == 0) firstFailed = quoted(nameFor(slot, ref)) + ": " + row.reason;
            break;
        case State::Blocked: {
            const Cause cause = causeOf(ref);
            if (!cause.member.empty())
                lostMembers.insert(cause.member);
            else if (cause.state == State::Blocked)
                unfinished = true;
            else if (cause.ref.slot != slot || cause.state == State::NotApplicable)
                foreign.insert(cause.ref);
            break;
        }
        default: break;
        }
        view.quantities.push_back(std::move(row));
    }
    for (const std::string& text : sheet.assumptions) view.assumptions.push_back({QuantityId(), {}, {}, text});

    std::size_t checks = 0, applicable = 0;
    for (const meaning::Quantity& q : sheet.quantities) {
        if (q.kind != Kind::Check && q.kind != Kind::Require) continue;
        view.checks.push_back(check(slot, q));
        const CheckView& c = view.checks.back();
        if (!c.isRequire) {
            ++checks;
            if (c.state != CheckView::State::NotApplicable) ++applicable;
        }
        if (c.isRequire || !c.utilisation) continue;
        const CheckView* best = view.governing ? &view.checks[*view.governing] : nullptr;
        if (best == nullptr || *c.utilisation > *best->utilisation) view.governing = view.checks.size() - 1;
    }
    // A failing check beyond every number outweighs any utilisation, but has none to show.
    for (const CheckView& c : view.checks) {
        if (c.state == CheckView::State::Fails) fails.push_back(quoted(c.name) + " fails: " + c.reason);
        if (c.state == CheckView::State::NotProven)
            unproven.push_back(c.isRequire ? c.reason + (c.what.empty() ? "" : " (" + c.what + ")") : quoted(c.name) + " is not proven: " + c.reason);
    }
    if (view.governing && *view.governing != 0) {
        std::rotate(view.checks.begin(), view.checks.begin() + static_cast<std::ptrdiff_t>(*view.governing),
                    view.checks.begin() + static_cast<std::ptrdiff_t>(*view.governing) + 1);
        view.governing = 0;
    }

    if (failedRows > 0) errors.push_back(firstFailed + (failedRows > 1 ? " (and " + std::to_string(failedRows - 1) + " more rows)" : ""));
    if (errorsIn(m.sheet->diagnostics) > 0 && failedRows == 0) {
        const std::size_t n = errorsIn(m.sheet->diagnostics);
        const auto first =
            std::find_if(m.sheet->diagnostics.begin(), m.sheet->diagnostics.end(), [](const Diagnostic& d) { return d.severity == Severity::Error; });
        errors.push_back("the sheet has " + std::to_string(n) + (n == 1 ? " error: " : " errors: ") + first->message);
    }
    for (const std::string& mark : lostMembers) errors.push_back("it needs " + mark + ", whose sheet could not be read");
    if (unfinished) errors.emplace_back("it has not been worked out to its end");
    std::vector<std::string> missing;
    for (const std::string& name : view.notStated) missing.push_back(quoted(name) + " is not stated");
    unproven.insert(unproven.begin(), missing.begin(), missing.end());
    for (const Ref& ref : foreign) {
        switch (valueOf(ref).state) {
        case State::NotStated: unproven.push_back("it needs " + nameOf(ref) + ", which is not stated"); break;
        case State::NotApplicable: errors.push_back("it needs " + nameFor(slot, ref) + ", which stands in a part that does not apply"); break;
        default: errors.push_back("it needs " + nameOf(ref) + ", which could not be computed"); break;
        }
    }
    const CopyReport& copy = copyReport(*m.sheet);
    view.differs = copy.differs;
    view.copyOf = copy.of;
    view.lostChecks = copy.lost;
    view.addedRows = copy.added;
    view.changedRows = copy.changed;
    unproven.insert(unproven.end(), copy.lost.begin(), copy.lost.end());
    if (checks == 0)
        unproven.emplace_back("the sheet has no check");
    else if (applicable == 0)
        unproven.emplace_back("no check of the sheet applies");

    if (!errors.empty())
        view.verdict = Verdict::NotComputed;
    else if (!fails.empty())
        view.verdict = Verdict::Fails;
    else if (!unproven.empty() ||
             std::any_of(view.checks.begin(), view.checks.end(), [](const CheckView& c) { return c.state == CheckView::State::NotComputed; }))
        view.verdict = Verdict::NotProven;
    else
        view.verdict = Verdict::Ok;
    view.reasons = std::move(errors);
    view.reasons.insert(view.reasons.end(), fails.begin(), fails.end());
    view.reasons.insert(view.reasons.end(), unproven.begin(), unproven.end());
    m.ownVerdict = view.verdict;
    m.ownReasons = view.reasons.size();

    for (const meaning::Quantity& q : sheet.quantities) {
        if (q.kind != Kind::Schedule || q.broken || q.plot >= sheet.schedules.size() || !m.values.at(q.id).known()) continue;
        const meaning::ScheduleDefinition& column = sheet.schedules[q.plot];
        std::string shown;
        std::string lastUnit;
        bool known = true;
        for (meaning::ExprId size : column.sizes) {
            const meaning::Expr& e = sheet.exprs.at(size);
            const std::optional<double> number = e.axes.empty() ? m.sheet->program->scalar(size, {}, m.values) : std::nullopt;
            if (!number) {
                known = false;
                break;
            }
            meaning::Quantity shape;
            shape.dimension = e.dimension;
            shape.unit = unitOf(*m.sheet, size);
            if (e.kind == meaning::ExprKind::Quantity) shape.show = sheet.at(e.quantity).show;
            // "45 × 220 mm": a unit that comes again is told once, at the end.
            if (!lastUnit.empty() && lastUnit == shape.unit.shown && shown.size() > lastUnit.size() + 1) shown.resize(shown.size() - lastUnit.size() - 1);
            lastUnit = shape.unit.shown;
            shown += (shown.empty() ? "" : " × ") + shownOne(shape, {}, *number);
        }
        if (!known) continue;
        if (column.column == "section") view.sectionShown = shown;
        if (column.column == "span") view.spanShown = shown;
    }
    return view;
}

Verdict Core::verdict() const {
    if (m_unreadable) return Verdict::NotComputed;
    Verdict worst = m_order.empty() ? Verdict::NotProven : Verdict::Ok;
    for (std::uint32_t slot : m_order) worst = std::max(worst, view(slot).verdict);
    // What is wrong outside the members leaves it open what the job was meant to be.
    if (worst == Verdict::NotComputed) return worst;
    tellDiagnostics([&](const Diagnostic& d) {
        if (d.severity == Severity::Error) worst = Verdict::NotComputed;
    });
    return worst;
}

std::vector<Diagnostic> Core::diagnostics() const {
    std::vector<Diagnostic> out;
    std::set<std::tuple<Code, std::string, std::uint32_t, std::uint32_t, std::string, std::string>> told;
    tellDiagnostics([&](const Diagnostic& d) {
        if (told.emplace(d.code, d.place.file, d.place.row, d.place.span.begin, d.message, d.member).second) out.push_back(d);
    });
    diag::sortForShow(out);
    return out;
}

void Core::tellDiagnostics(const std::function<void(const Diagnostic&)>& take) const {
    if (m_unreadable) take(*m_unreadable);
    for (const Diagnostic& d : m_document.diagnostics()) take(d);
    for (const Diagnostic& d : m_problems) take(d);
    for (const auto& [path, entry] : m_sheets) {
        if (entry->slots.empty()) continue;
        catchUp(*entry);
        for (const Diagnostic& d : entry->diagnostics) take(d);
    }
    for (const JobGiven& g : m_givens) {
        if (g.gone) continue;
        for (const Diagnostic& d : g.statement.diagnostics) take(d);
        if (g.value.state == State::Failed && g.value.problem && g.statement.sort != Statement::Sort::Wrong) take(*g.value.problem);
        if (g.value.state == State::NotStated)
            take({Code::NotStated,
                  Severity::Warning,
                  m_document.place(g.row, g.statement.span),
                  quoted(g.quantity.name) + " is not stated",
                  {},
                  {},
                  "write its value here",
                  {}});
    }
    for (std::uint32_t slot : m_order) {
        const Member& m = at(slot);
        for (const Diagnostic& d : m.problems) take(d);
        for (const auto& [id, s] : m.stated)
            for (const Diagnostic& d : s.diagnostics) take(d);
        if (m.sheet == nullptr || !m.sheet->sheet) continue;
        const meaning::Sheet& sheet = *m.sheet->sheet;
        // Asked for after every edit: what is known is not walked again.
        for (const std::uint32_t i : troubledIn(m)) {
            const Value& v = m.values.values[i];
            if (v.state == State::Failed && v.problem && !sheet.quantities[i].broken) {
                const Statement* s = m.statement(i);
                if (s == nullptr || s->sort != Statement::Sort::Wrong) take(*v.problem);
            }
            if (v.state == State::NotStated) take(notStated(slot, sheet.quantities[i]));
        }
    }
    for (const TickView& tick : ticks()) {
        const auto slot = slotOf(tick.member);
        const syntax::Row& row = m_document.rows()[tick.row];
        if (!slot) {
            take({Code::TickBroken,
                  Severity::Error,
                  m_document.place(tick.row, row->member.span),
                  "the tick names a member " + quoted(tick.member) + " that is not there",
                  {},
                  {},
                  "write a member's mark, or take the tick out",
                  {}});
        } else if (at(*slot).sheet != nullptr && at(*slot).sheet->sheet && at(*slot).sheet->sheet->find(tick.name) == nullptr) {
            std::vector<std::string> names;
            for (const meaning::Quantity& q : at(*slot).sheet->sheet->quantities) names.push_back(q.name);
            const std::string near = suggestion(tick.name, names);
            take({Code::TickBroken,
                  Severity::Error,
                  m_document.place(tick.row, row->name.span),
                  "the tick names a value " + quoted(tick.name) + " that " + tick.member + " does not have",
                  {},
                  {},
                  near.empty() ? "write the name of one of its rows, or take the tick out" : near,
                  tick.member});
        }
    }
}

} // namespace spanwright::job
