// SPDX-License-Identifier: MIT
#include "engine/trial/pinned.h"

#include <algorithm>
#include <charconv>

#include "engine/base/text.h"
#include "engine/syntax/document.h"
#include "engine/syntax/formula.h"

namespace spanwright::trial {

using diag::Code;
using diag::Diagnostic;
using syntax::Clause;
using syntax::Row;
using syntax::RowKind;

namespace {

std::vector<std::string> namesIn(std::string_view text) {
    std::vector<std::string> out;
    for (std::size_t from = 0; from <= text.size();) {
        const std::size_t end = std::min(text.find(',', from), text.size());
        if (const auto name = base::trimmed(text.substr(from, end - from)); !name.empty()) out.emplace_back(name);
        from = end + 1;
    }
    return out;
}

/// A whole number of at most `most`; nothing if it is none.
std::optional<std::uint64_t> whole(std::string_view text, std::uint64_t most) {
    std::uint64_t n = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), n);
    if (error != std::errc{} || end != text.data() + text.size() || n > most) return std::nullopt;
    return n;
}

void readNumber(const syntax::Document& d, const Clause& c, std::uint32_t row, std::uint64_t least, std::uint64_t most, Pinned& out, std::uint64_t& into) {
    const auto n = whole(c.text.text, most);
    if (n && *n >= least) {
        into = *n;
        return;
    }
    out.problem = Diagnostic{Code::TrialRange,
                             diag::Severity::Error,
                             d.place(row, c.text.span),
                             "`" + c.text.text + "` is no whole number from " + std::to_string(least) + " to " + std::to_string(most),
                             {},
                             {},
                             "write `" + c.word.text + " 1000`, or take it out",
                             {}};
}

Pinned read(const syntax::Document& d, std::uint32_t index) {
    const Row& row = d.rows()[index];
    Pinned out;
    out.row = index;
    out.what = row->what.text;
    out.source = row->source.text;
    out.broken = row->clauses.empty() || !row->complaints.empty();
    if (out.broken) {
        out.text = std::string(base::trimmed(row.text));
        return out;
    }
    const Clause& first = row->clauses.front();
    const Clause& last = row->clauses.back();
    const std::uint32_t end = std::max(last.word.span.end, last.text.span.end);
    out.text = row.text.substr(first.word.span.begin, end - first.word.span.begin);
    const std::string& sort = first.word.text;
    out.sort = sort == "vary" ? Pinned::Sort::Vary : sort == "weigh" ? Pinned::Sort::Weigh : sort == "sure" ? Pinned::Sort::Sure : Pinned::Sort::Far;
    out.name = first.text.text;
    for (const Clause& c : row->clauses) {
        const std::string &word = c.word.text, &text = c.text.text;
        if (word == "vary" || word == "and") out.vary.over.push_back(text);
        if (word == "show") out.vary.show = namesIn(text);
        if (word == "largest" || word == "smallest") {
            out.vary.aim = out.reach.aim = word == "largest" ? Aim::Largest : Aim::Smallest;
            out.vary.reach = out.reach.over = text;
            if (sort == "reach") out.sort = Pinned::Sort::Reach;
        }
        if (word == "until") {
            out.sort = Pinned::Sort::Reach;
            out.reach.aim = Aim::Until;
            out.reach.over = first.text.text;
            out.reach.until = text;
        }
        if (word == "within") out.reach.within = text;
        if (word == "order") out.reach.by = text;
        if (word == "normal") out.sure.normal = true;
        if (word == "calculated") out.sure.workOutAll = true;
        std::uint64_t samples = 0;
        if (word == "samples") {
            readNumber(d, c, index, 1, 100'000, out, samples);
            out.sure.samples = static_cast<std::size_t>(samples);
        }
        if (word == "seed") readNumber(d, c, index, 0, 1'000'000'000, out, out.sure.seed);
    }
    const bool lone = out.sort == Pinned::Sort::Far && (!out.reach.within.empty() || !out.reach.by.empty());
    if (lone && !out.problem)
        out.problem = Diagnostic{Code::TrialRange,
                                 diag::Severity::Error,
                                 d.place(index, row->clauses.back().word.span),
                                 "`within` and `order` go with `largest`, `smallest` or `until`",
                                 {},
                                 {},
                                 "say which end is wanted, or take it out",
                                 {}};
    return out;
}

std::string joined(const std::vector<std::string>& list, const char* with) {
    std::string out;
    for (const std::string& s : list) out += (out.empty() ? "" : with) + s;
    return out;
}

} // namespace

std::vector<Pinned> pinnedIn(const job::Job& job) {
    std::vector<Pinned> out;
    if (job.isSingleSheet()) return out;
    const syntax::Document& d = job.document();
    for (std::uint32_t i = 0; i < d.rows().size(); ++i)
        if (d.rows()[i].kind == RowKind::Trial) out.push_back(read(d, i));
    return out;
}

std::string pinnedText(const VaryRequest& r) {
    std::string out = "vary " + joined(r.over, " and ");
    if (!r.show.empty()) out += " show " + joined(r.show, ", ");
    if (r.aim) out += (*r.aim == Aim::Smallest ? " smallest " : " largest ") + r.reach;
    return out;
}

std::string pinnedText(const ReachRequest& r) {
    std::string out = "reach ";
    if (r.aim == Aim::Until) {
        const std::size_t at = std::min(r.until.find('='), r.until.size());
        out += r.over + " until " + std::string(base::trimmed(r.until.substr(0, at)));
        if (at < r.until.size()) out += " = " + std::string(base::trimmed(r.until.substr(at + 1)));
    } else {
        out += (r.aim == Aim::Smallest ? "smallest " : "largest ") + r.over;
    }
    if (!r.within.empty()) out += " within " + r.within;
    if (!r.by.empty()) out += " order " + r.by;
    return out;
}

std::string pinnedFar(const std::string& over) { return "reach " + over; }

std::string pinnedWeigh(const ValueName& of) { return "weigh " + pathText(of); }

std::string pinnedSure(const std::string& mark, const ToleranceRequest& r) {
    std::string out = "sure" + (mark.empty() ? "" : " " + mark);
    if (r.samples != 0) out += " samples " + std::to_string(r.samples);
    if (r.seed != 1) out += " seed " + std::to_string(r.seed);
    if (r.normal) out += " normal";
    if (r.workOutAll) out += " calculated";
    return out;
}

job::Job::Done pin(job::Job& job, const std::string& text, const std::string& what) {
    const auto refuse = [&](std::string message, std::string mend) {
        return base::Failure<Diagnostic>{trialFault(Code::TrialPinned, job.path(), std::move(message), std::move(mend))};
    };
    if (job.isSingleSheet()) return refuse("a sheet that stands alone keeps no trials", "use the sheet in a job, and pin the trial there");
    syntax::Document d = job.document();
    const auto& rows = d.rows();
    const bool dashes = text.find(" -- ") != std::string::npos || what.find(" -- ") != std::string::npos;
    if (dashes || (text + what).find_first_of("\r\n") != std::string::npos) return refuse("a trial stands on one line and holds no ` -- `", "write it plainly");
    std::string end = "\n";
    auto before = static_cast<std::uint32_t>(rows.size());
    // Behind the last trial; else behind what there is, apart by a blank row.
    bool any = false;
    for (std::uint32_t i = 0; i < rows.size(); ++i) {
        if (rows[i].text.ends_with("\r\n")) end = "\r\n";
        if (rows[i].kind != RowKind::Trial) continue;
        any = true;
        before = i + 1;
        if (const Pinned there = read(d, i); !there.broken && there.text == text)
            return refuse("this trial is pinned already: `" + text + "`", "look for it in the report under Trials");
    }
    std::string row = "trial   " + text + (what.empty() ? "" : " -- " + what) + end;
    if (!any && before > 0 && rows[before - 1].kind != RowKind::Blank) row = end + row;
    d.insert(before, row);
    const auto written =
        std::find_if(d.rows().begin(), d.rows().end(), [&](const Row& r) { return r.kind == RowKind::Trial && r.text.find(text) != std::string::npos; });
    if (written == d.rows().end() || !written->parts || !(*written)->complaints.empty()) {
        const bool told = written != d.rows().end() && written->parts && !(*written)->complaints.empty();
        return refuse(told ? (*written)->complaints.front().message : "this trial could not be read back",
                      "put double quotes around keys that hold words of the language");
    }
    return job.setText(job.path(), d.text());
}

job::Job::Done unpin(job::Job& job, std::size_t index) {
    const std::vector<Pinned> all = pinnedIn(job);
    if (index >= all.size())
        return base::Failure<Diagnostic>{trialFault(Code::TrialPinned, job.path(), "there is no such trial in the job", "take out one that is there")};
    syntax::Document d = job.document();
    d.erase(all[index].row, 1);
    return job.setText(job.path(), d.text());
}

namespace {

std::size_t pointsOf(const VaryPlan& plan) {
    std::size_t points = 1;
    for (const Axis& a : plan.table.axes) points *= a.values.size();
    return points;
}

/// Every member that has a value with a tolerance, or the one that is named.
base::Result<std::vector<TolerancePlan>, Diagnostic> planSure(const job::Job& job, const Pinned& p) {
    std::vector<TolerancePlan> plans;
    const auto only = p.name.empty() ? std::nullopt : job.memberByMark(p.name);
    if (!p.name.empty() && !only)
        return base::Failure<Diagnostic>{trialFault(Code::UnknownMember, job.path(), "there is no member `" + p.name + "`", "write the mark of a member")};
    for (std::size_t m = 0; m < job.memberCount(); ++m) {
        if (only && *only != m) continue;
        auto plan = planTolerance(job, m);
        if (!plan) return base::Failure<Diagnostic>{plan.error()};
        if (!plan.value().all.empty() || only) plans.push_back(std::move(plan).value());
    }
    return plans;
}

template <class T> void take(PinnedPlan& out, base::Result<T, Diagnostic> made) {
    if (made)
        out.plan = std::move(made).value();
    else
        out.problem = made.error();
}

} // namespace

std::vector<PinnedPlan> planPinned(const job::Job& job) {
    std::vector<PinnedPlan> out;
    if (job.isSingleSheet()) return out;
    const syntax::Document& d = job.document();
    for (Pinned& p : pinnedIn(job)) {
        PinnedPlan plan;
        plan.pinned = std::move(p);
        const Pinned& pinned = plan.pinned;
        const Row& row = d.rows()[pinned.row];
        if (pinned.broken) {
            const auto& complaints = row->complaints;
            plan.problem = complaints.empty() ? trialFault(Code::TrialPinned, job.path(), "this trial cannot be read", {})
                                              : Diagnostic{complaints.front().code,
                                                           diag::Severity::Error,
                                                           d.place(pinned.row, complaints.front().span),
                                                           complaints.front().message,
                                                           {},
                                                           {},
                                                           complaints.front().mend,
                                                           {}};
        } else if (pinned.problem) {
            plan.problem = pinned.problem;
        } else if (out.size() >= kMostPinned) {
            plan.problem =
                trialFault(Code::TrialPinned, job.path(), "a report works out at most " + std::to_string(kMostPinned) + " trials, and this is one more",
                           "take out those that nobody reads");
        } else {
            switch (pinned.sort) {
            case Pinned::Sort::Vary: take(plan, planVary(job, pinned.vary)); break;
            case Pinned::Sort::Reach: take(plan, planReach(job, pinned.reach)); break;
            case Pinned::Sort::Far: take(plan, planFar(job, pinned.name)); break;
            case Pinned::Sort::Weigh: take(plan, planWeigh(job, splitName(job, pinned.name))); break;
            case Pinned::Sort::Sure: take(plan, planSure(job, pinned)); break;
            }
            const auto* vary = std::get_if<VaryPlan>(&plan.plan);
            if (vary != nullptr && pointsOf(*vary) > kMostPinnedPoints)
                plan.problem = trialFault(Code::TrialTooLarge, job.path(),
                                          "this table would have " + std::to_string(pointsOf(*vary)) + " points, and a pinned one has at most " +
                                              std::to_string(kMostPinnedPoints),
                                          "take longer steps, shorter ranges or fewer values");
        }
        if (plan.problem) {
            plan.plan = std::monostate{};
            // Trials know nothing of rows: what they refuse is told at the row that asks for it.
            if (plan.problem->place.row == diag::Place::kNoRow && !row->clauses.empty())
                plan.problem->place =
                    d.place(pinned.row, {row->clauses.front().word.span.begin, std::max(row->clauses.back().word.span.end, row->clauses.back().text.span.end)});
        }
        out.push_back(std::move(plan));
    }
    return out;
}

PinnedResult workPinned(PinnedPlan& plan, const Control& control) {
    PinnedResult out;
    out.pinned = plan.pinned;
    out.problem = plan.problem;
    if (auto* p = std::get_if<VaryPlan>(&plan.plan)) {
        VaryTable t = vary(*p, control);
        out.leftOut = t.cancelled;
        out.result = std::move(t);
    } else if (auto* r = std::get_if<ReachPlan>(&plan.plan)) {
        Reach found = reach(*r, control);
        out.leftOut = found.cancelled;
        out.result = std::move(found);
    } else if (const auto* f = std::get_if<FarPlan>(&plan.plan)) {
        Far found = farOf(*f, control);
        out.leftOut = found.cancelled;
        out.result = std::move(found);
    } else if (const auto* w = std::get_if<WeighPlan>(&plan.plan)) {
        auto made = weigh(*w, control);
        if (made) {
            out.leftOut = made.value().cancelled;
            out.result = std::move(made).value();
        } else {
            out.problem = made.error();
        }
    } else if (const auto* s = std::get_if<std::vector<TolerancePlan>>(&plan.plan)) {
        std::vector<Tolerance> list;
        for (const TolerancePlan& t : *s) {
            list.push_back(tolerance(t, out.pinned.sure, control));
            out.leftOut = out.leftOut || list.back().cancelled;
        }
        out.result = std::move(list);
    }
    if (out.leftOut) out.result = std::monostate{};
    return out;
}

} // namespace spanwright::trial
