// SPDX-License-Identifier: MIT
#include "engine/shop/workshop.h"

#include <algorithm>
#include <set>
#include <tuple>

#include "engine/syntax/kinds.h"

namespace spanwright::shop {

namespace {

void schedule(const job::Job& job, Workshop& out) {
    for (std::size_t m = 0; m < job.memberCount(); ++m) {
        const job::MemberView& view = job.member(m);
        Workshop::Row row;
        row.index = m;
        row.mark = view.mark;
        row.insteadOf = view.insteadOf;
        for (std::size_t i = 0; i < out.parts.members.size(); ++i) {
            if (out.parts.members[i].index != m) continue;
            if (out.weights.members[i].known) row.mass = out.weights.members[i].mass;
            if (out.parts.members[i].named && !out.rows.currency.empty() && i < out.bill.members.size()) {
                row.cents = out.bill.members[i].cents;
                row.low = out.bill.members[i].low;
                row.high = out.bill.members[i].high;
            }
            row.proven = out.bill.proven;
        }
        out.schedule.push_back(std::move(row));
    }
}

} // namespace

Workshop work(const job::Job& job, const WorkshopOptions& options) {
    Workshop out;
    out.rows = readShopRows(job, options.prices);
    if (!out.rows.any) { // masses need no workshop; nothing else is asked for
        out.parts = gatherParts(job, out.rows, options.only);
        out.weights = weigh(out.parts, out.rows);
        out.bill.proven = false;
        out.bill.reasons.emplace_back("the job states no price");
        schedule(job, out);
        return out;
    }
    if (!out.rows.saw.stated && !out.rows.saw.unread) {
        diag::Diagnostic d;
        d.code = diag::Code::SawMissing;
        d.severity = diag::Severity::Warning;
        d.place.file = job.path();
        d.message = "the job states no saw: a kerf of " + millimetres(out.rows.saw.kerf) + " mm is assumed, and no trim of ends";
        d.mend = "write `saw kerf 3.2 mm, trim 20 mm`";
        out.problems.push_back(std::move(d));
    }
    out.parts = gatherParts(job, out.rows, options.only);
    if (options.prepared) {
        Workshop soFar = out;
        soFar.weights = weigh(soFar.parts, soFar.rows);
        soFar.bill.proven = false;
        soFar.bill.reasons.emplace_back("nothing is planned yet");
        schedule(job, soFar);
        options.prepared(soFar);
    }
    out.plan = planCuts(out.parts, out.rows, job.rates(), options.plan);
    out.weights = weigh(out.parts, out.rows);
    out.bill = makeBill(out.parts, out.plan, out.rows, job);
    for (const auto* list : {&out.rows.problems, &out.parts.problems, &out.plan.problems, &out.weights.problems, &out.bill.problems})
        out.problems.insert(out.problems.end(), list->begin(), list->end());
    diag::sortForShow(out.problems);
    std::set<std::tuple<diag::Code, std::string, std::uint32_t, std::uint32_t, std::string, std::string>> told;
    std::erase_if(out.problems,
                  [&](const diag::Diagnostic& d) { return !told.emplace(d.code, d.place.file, d.place.row, d.place.span.begin, d.message, d.member).second; });
    schedule(job, out);
    return out;
}

bool hasWorkshop(const job::Job& job) {
    const auto& rows = job.document().rows();
    return std::any_of(rows.begin(), rows.end(), [](const syntax::Row& r) { return syntax::isShopRow(r.kind); });
}

bool Workshop::hasErrors() const {
    return std::any_of(problems.begin(), problems.end(), [](const diag::Diagnostic& d) { return d.severity == diag::Severity::Error; });
}

int Workshop::cutStatus() const {
    const auto wrong = [](const std::vector<diag::Diagnostic>& list) {
        return std::any_of(list.begin(), list.end(), [](const diag::Diagnostic& d) { return d.severity == diag::Severity::Error; });
    };
    if (rows.unread.any || wrong(rows.problems) || wrong(parts.problems) || wrong(plan.problems)) return 1;
    return 0;
}

int Workshop::priceStatus() const {
    if (hasErrors() || rows.unread.any) return 1;
    return bill.proven ? 0 : 3;
}

} // namespace spanwright::shop
