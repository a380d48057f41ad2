// SPDX-License-Identifier: MIT
// How one check or requirement came out.
#include <cmath>

#include "engine/job/core.h"
#include "engine/job/judge.h"

namespace spanwright::job {

using eval::State;
using eval::Value;

namespace {

using CheckState = CheckView::State;

CheckView::Case judge(syntax::Op relation, double left, double right) {
    CheckView::Case c;
    c.left = left;
    c.right = right;
    const Judgement j = judged(relation, left, right);
    c.state = j.state;
    if (j.hasUtilisation) c.utilisation = j.utilisation;
    return c;
}

/// The weightier of two cases governs; among like ones the higher utilisation, then the first.
int weight(CheckState s) {
    switch (s) {
    case CheckState::NotComputed: return 4;
    case CheckState::Fails: return 3;
    case CheckState::NotProven: return 2;
    case CheckState::Passes: return 1;
    case CheckState::NotApplicable: return 0;
    }
    return 4;
}

bool governs(const CheckView::Case& a, const CheckView::Case& b) {
    if (weight(a.state) != weight(b.state)) return weight(a.state) > weight(b.state);
    if (a.utilisation && b.utilisation) return *a.utilisation > *b.utilisation;
    return !a.utilisation && b.utilisation; // beyond every number
}

} // namespace

CheckView Core::check(std::uint32_t slot, const meaning::Quantity& q) const {
    const Member& m = at(slot);
    const Value& v = m.values.at(q.id);
    CheckView out;
    out.id = q.id;
    out.isRequire = q.kind == Kind::Require;
    out.name = q.name;
    out.what = q.what;
    out.source = q.source;
    out.note = q.note;
    const auto emptyAxis = [&] {
        for (QuantityId axis : q.axes)
            if (m.values.at(axis).known() && m.values.axisSize(axis) == 0) {
                const auto& table = m.values.at(axis).table;
                out.state = CheckState::NotApplicable;
                out.reason = "no rows in " + (table ? table->name : m.sheet->sheet->at(axis).name);
                return true;
            }
        return false;
    };
    if ((v.known() || v.state == State::NotApplicable) && emptyAxis()) return out;
    if (!v.known()) {
        out.state = v.state == State::NotApplicable ? CheckState::NotApplicable : CheckState::NotComputed;
        out.reason = reasonOf(slot, {slot, q.id.value});
        return out;
    }
    const std::size_t n = q.axes.empty() ? 1 : v.many.size();
    if (n == 0) return out;
    out.cases.reserve(n);
    for (std::size_t i = 0; i < n; ++i) {
        CheckView::Case c;
        if (out.isRequire) {
            c.left = v.data()[i];
            c.state = c.left != 0.0 ? CheckState::Passes : CheckState::NotProven;
        } else if (v.right.size() != n) {
            c.left = v.data()[i]; // without a right side nothing is proven
        } else {
            c = judge(q.relation, v.data()[i], v.right[i]);
        }
        c.label = caseLabel(slot, q.axes, i);
        if (i == 0 || governs(c, out.cases[out.governingCase])) out.governingCase = i;
        out.cases.push_back(std::move(c));
    }
    const CheckView::Case& worst = out.cases[out.governingCase];
    out.state = worst.state;
    out.governingLabel = worst.label;
    out.utilisation = worst.utilisation;
    const std::string inCase = worst.label.empty() ? "" : " in case " + worst.label;
    if (out.isRequire) {
        if (out.state != CheckState::Passes) out.reason = quoted(q.name) + " does not hold" + inCase;
        return out;
    }
    meaning::Quantity shown = q;
    shown.type = meaning::Type::Number;
    // In the unit of whichever side names one.
    if (const meaning::ExprId side = q.formula; side.valid()) {
        const units::Unit left = unitOf(*m.sheet, q.formula);
        const units::Unit right = q.right.valid() ? unitOf(*m.sheet, q.right) : left;
        const bool leftNamed = m.sheet->sheet->exprs.at(q.formula).kind == meaning::ExprKind::Quantity || !q.right.valid();
        shown.dimension = m.sheet->sheet->exprs.at(q.formula).dimension;
        shown.unit = q.unit.dimension == shown.dimension && !q.unit.shown.empty() ? q.unit : leftNamed ? left : right;
    }
    out.leftShown = shownOne(shown, v, worst.left);
    out.rightShown = shownOne(shown, v, worst.right);
    switch (out.state) {
    case CheckState::Fails: out.reason = out.utilisation ? "utilisation " + units::showUtilisation(*out.utilisation) + inCase : "does not hold" + inCase; break;
    case CheckState::NotProven: {
        const bool upward = q.relation == syntax::Op::Greater || q.relation == syntax::Op::GreaterEqual;
        out.reason = "the capacity is " + (upward ? out.leftShown : out.rightShown) + inCase + ", and nothing is carried by zero or less";
        break;
    }
    case CheckState::NotComputed: out.reason = "could not be computed" + inCase; break;
    default: break;
    }
    return out;
}

} // namespace spanwright::job
