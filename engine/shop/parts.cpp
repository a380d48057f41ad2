// SPDX-License-Identifier: MIT
#include "engine/shop/parts.h"

#include <algorithm>
#include <cmath>

namespace spanwright::shop {

std::int64_t unitsAtLeast(double metres) { return static_cast<std::int64_t>(std::ceil(metres * kUnitsPerMetre - 1e-6)); }
std::int64_t unitsAtMost(double metres) { return static_cast<std::int64_t>(std::floor(metres * kUnitsPerMetre + 1e-6)); }

namespace {

bool isProperty(const std::string& operation) { return operation == "rip" || operation == "plane"; }

/// A row of the sheet that is one length and known.
std::optional<double> place(const job::Job& job, std::size_t member, const char* name) {
    const meaning::Quantity* q = job.sheet(member).find(name);
    if (q == nullptr || !q->axes.empty()) return std::nullopt;
    const eval::Value& v = job.value(member, q->id);
    return v.known() ? std::optional(v.one) : std::nullopt;
}

/// Length and start of a member whose pieces stand from `from` on. Its sheet may know its ends; else they are those of its pieces, whose
/// lengths are taken to run along it.
void measure(const job::Job& job, const std::vector<Part>& parts, std::size_t from, BuiltMember& m) {
    double low = 0.0, high = 0.0, longest = 0.0;
    bool placed = from < parts.size();
    for (std::size_t i = from; i < parts.size(); ++i) {
        const job::PieceView& v = parts[i].view;
        longest = std::max(longest, v.length);
        if (!v.at) {
            placed = false;
            continue;
        }
        low = i == from ? *v.at - v.length / 2.0 : std::min(low, *v.at - v.length / 2.0);
        high = i == from ? *v.at + v.length / 2.0 : std::max(high, *v.at + v.length / 2.0);
    }
    m.length = placed ? std::max(high - low, longest) : longest;
    m.start = placed ? low : 0.0;
    // Of several pieces some overlap or stand upright; one alone may be cut longer than it is on plan.
    if (parts.size() - from < 2) return;
    const auto a = place(job, m.index, "x_A"), b = place(job, m.index, "x_B");
    if (!a || !b || !(*b > *a)) return;
    m.length = *b - *a;
    m.start = *a;
}

} // namespace

Parts gatherParts(const job::Job& job, const ShopRows& rows, const std::vector<std::size_t>& only) {
    Parts out;
    std::int64_t total = 0;
    for (std::size_t m = 0; m < job.memberCount(); ++m) {
        const job::MemberView& view = job.member(m);
        if (!only.empty()) {
            if (std::find(only.begin(), only.end(), m) == only.end()) continue;
        } else if (!view.insteadOf.empty()) {
            out.leftOut.push_back(view.mark + ", which stands in place of " + view.insteadOf);
            continue;
        }
        BuiltMember member{m, view.mark, view.purpose, view.sheetTitle, static_cast<std::int64_t>(view.count), false, false, true, 0.0, 0.0, view.verdict};
        job::PieceList list = job.pieces(m);
        member.named = list.named;
        member.whole = list.problems.empty();
        out.problems.insert(out.problems.end(), list.problems.begin(), list.problems.end());
        const std::size_t first = out.parts.size();
        for (job::PieceView& v : list.pieces) {
            Part p;
            p.member = m;
            p.mark = view.mark;
            p.label = view.mark + " " + v.name + (v.label.empty() ? "" : " " + v.label);
            p.each = static_cast<std::int64_t>(v.count);
            p.count = p.each * member.count;
            for (const auto& o : v.operations) {
                p.rip = p.rip || o.name == "rip";
                p.plane = p.plane || o.name == "plane";
            }
            std::erase_if(v.operations, [](const auto& o) { return isProperty(o.name); });
            const double more = p.plane ? 2.0 * rows.saw.plane : 0.0;
            p.thickness = unitsAtLeast(v.thickness + more);
            p.breadth = unitsAtLeast(v.breadth + more);
            p.breadthEnd = unitsAtLeast(v.breadthEnd + more);
            p.length = unitsAtLeast(v.length);
            total += p.count;
            p.view = std::move(v);
            if (total > kMostPieces) {
                diag::Diagnostic d;
                d.code = diag::Code::TooManyPieces;
                d.place = p.view.place;
                d.message = "with the piece `" + p.view.name + "` the job has more than " + std::to_string(kMostPieces) + " pieces";
                d.mend = "see the counts of its members and pieces, or make two jobs of it";
                d.member = view.mark;
                out.problems.push_back(std::move(d));
                member.whole = false;
                measure(job, out.parts, first, member);
                out.members.push_back(std::move(member));
                return out;
            }
            out.parts.push_back(std::move(p));
        }
        member.cut = out.parts.size() > first;
        measure(job, out.parts, first, member);
        out.members.push_back(std::move(member));
    }
    return out;
}

} // namespace spanwright::shop
