// SPDX-License-Identifier: MIT
#include "engine/shop/operation_use.h"

#include <algorithm>

namespace spanwright::shop {

namespace {

class Gatherer {
public:
    Gatherer(const Parts& parts, const CutPlan& plan, const std::map<std::size_t, std::size_t>& place) : m_parts(parts), m_plan(plan), m_place(place) {}

    [[nodiscard]] Uses gather() {
        const std::size_t n = m_parts.members.size();
        for (const Part& p : m_parts.parts) {
            for (const auto& o : p.view.operations) stated(o.name, o.measure, p, o.amount);
            if (p.plane && p.count > 0) stated("plane", Measure::Length, p, p.view.length);
        }
        for (const GroupPlan& g : m_plan.groups) {
            spread("rip", Measure::Length, g.ripped, g, [](const Part& p) { return p.view.length; });
            spread("crosscut", Measure::Count, static_cast<double>(g.crosscuts), g, [](const Part&) { return 1.0; });
            spread("panelcut", Measure::Length, g.sawn, g, [](const Part& p) { return p.view.length + std::max(p.view.breadth, p.view.breadthEnd); });
        }
        Use& each = m_out[{"member", Measure::Count}];
        each.amounts.assign(n, 0.0);
        for (std::size_t i = 0; i < n; ++i)
            if (m_parts.members[i].cut) each.amounts[i] = static_cast<double>(m_parts.members[i].count);
        return std::move(m_out);
    }

private:
    void stated(const std::string& operation, Measure measure, const Part& p, double amount) {
        Use& u = m_out[{operation, measure}];
        if (u.amounts.empty()) u = {std::vector<double>(m_parts.members.size(), 0.0), &p};
        u.amounts[m_place.at(p.member)] += amount * static_cast<double>(p.count);
    }

    /// Cuts of a group go to its members by what their pieces weigh in `by`.
    template <class By> void spread(const std::string& operation, Measure measure, double amount, const GroupPlan& g, By by) {
        if (amount <= 0.0) return;
        Use& u = m_out[{operation, measure}];
        if (u.amounts.empty()) u.amounts.assign(m_parts.members.size(), 0.0);
        double sum = 0.0;
        for (const std::size_t i : g.parts) sum += by(m_parts.parts[i]) * static_cast<double>(m_parts.parts[i].count);
        if (sum <= 0.0) return;
        for (const std::size_t i : g.parts) {
            const Part& p = m_parts.parts[i];
            u.amounts[m_place.at(p.member)] += amount * by(p) * static_cast<double>(p.count) / sum;
        }
    }

    const Parts& m_parts;
    const CutPlan& m_plan;
    const std::map<std::size_t, std::size_t>& m_place;
    Uses m_out;
};

} // namespace

double Use::sum() const {
    double s = 0.0;
    for (const double a : amounts) s += a;
    return s;
}

Uses usesOf(const Parts& parts, const CutPlan& plan, const std::map<std::size_t, std::size_t>& place) { return Gatherer(parts, plan, place).gather(); }

} // namespace spanwright::shop
