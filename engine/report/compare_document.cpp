// SPDX-License-Identifier: MIT
#include "engine/report/compare_document.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <nlohmann/json.hpp>

#include "engine/report/words.h"
#include "engine/units/format.h"

namespace spanwright::report {

namespace {

using Align = Table::Align;

std::string number(double v, int digits = 3) { return units::showNumber(v, {}, {digits, {}, {}}); }

/// The greatest utilisation of the checks named deflection..., with what it compares.
void deflectionOf(const job::MemberView& view, Alternative& a) {
    for (const job::CheckView& c : view.checks) {
        if (c.isRequire || c.name.rfind("deflection", 0) != 0 || !c.utilisation) continue;
        if (a.deflectionShare && *c.utilisation <= *a.deflectionShare) continue;
        a.deflectionShare = c.utilisation;
        a.deflectionCheck = c.name;
        a.deflection = c.governingCase < c.cases.size() ? std::optional(c.cases[c.governingCase].left) : std::nullopt;
    }
}

/// The last size of `schedule section = b by h`.
std::optional<double> depthOf(const std::string& section) {
    const std::size_t at = section.rfind(" x ") != std::string::npos      ? section.rfind(" x ") + 3
                           : section.rfind("\u00d7") != std::string::npos ? section.rfind("\u00d7") + 2
                                                                          : std::string::npos;
    if (at == std::string::npos) return std::nullopt;
    const auto read = units::readValue(section.substr(at));
    if (!read || read.value().unit.dimension != units::Dimension::of(units::Base::Length)) return std::nullopt;
    return read.value().si;
}

/// "+0.12", "-35", "same".
std::string difference(double a, double b, const std::function<std::string(double)>& show) {
    const double d = b - a;
    if (std::fabs(d) <= 1e-9 * std::max(std::fabs(a), std::fabs(b))) return "same";
    std::string out = (d > 0 ? "+" : "-") + show(std::fabs(d));
    if (a > 0.0) out += " (" + std::string(d > 0 ? "+" : "-") + number(std::fabs(d) / a * 100.0, 2) + " %)";
    return out;
}

} // namespace

Alternative alternativeOf(const job::Job& job, std::size_t member, shop::Workshop w) {
    const job::MemberView& view = job.member(member);
    Alternative a;
    a.mark = view.mark;
    a.purpose = view.purpose;
    a.sheet = view.sheetName;
    a.verdict = view.verdict;
    a.count = static_cast<std::int64_t>(view.count);
    a.section = view.sectionShown;
    a.depth = depthOf(view.sectionShown);
    if (view.governing) {
        a.governing = view.checks[*view.governing].name;
        a.utilisation = view.checks[*view.governing].utilisation;
    }
    deflectionOf(view, a);
    if (!w.weights.members.empty() && w.weights.members.front().known) a.mass = w.weights.members.front().mass;
    for (const shop::Part& p : w.parts.parts) a.pieces += p.each;
    a.currency = w.bill.currency;
    a.hours = w.bill.hours / static_cast<double>(std::max<std::int64_t>(a.count, 1));
    if (!w.bill.currency.empty() && !w.parts.members.empty() && w.parts.members.front().named) a.cost = w.bill.total;
    a.low = w.bill.low;
    a.high = w.bill.high;
    a.ranged = w.bill.ranged;
    a.costProven = w.bill.proven;
    a.reasons = w.bill.reasons;
    return a;
}

Document compareDocument(const JobFacts& f, const std::vector<Alternative>& list) {
    Document d;
    d.title = f.cover.title.empty() ? f.file : f.cover.title;
    d.fingerprint = f.fingerprint;
    Section s;
    s.title = d.title + ": alternatives";
    s.blocks.push_back(
        {Paragraph{{plainText("Each is planned and priced for itself alone; differences are from " + (list.empty() ? "" : list.front().mark) + ".")}}});
    Table t;
    t.columns = {{"", Align::Left, false}};
    for (const Alternative& a : list) t.columns.push_back({a.mark, Align::Right, true});
    const auto words = [&](const std::string& name, const std::function<Inlines(const Alternative&)>& of) {
        std::vector<Inlines> row{{faintText(name)}};
        for (const Alternative& a : list) row.push_back(of(a));
        t.rows.push_back(std::move(row));
    };
    const auto numbers = [&](const std::string& name, const std::function<std::optional<double>(const Alternative&)>& of,
                             const std::function<std::string(double)>& show) {
        words(name, [&](const Alternative& a) -> Inlines {
            const auto v = of(a);
            return {plainText(v ? show(*v) : "not known")};
        });
        if (list.size() < 2) return;
        const auto first = of(list.front());
        words("", [&](const Alternative& a) -> Inlines {
            if (&a == &list.front()) return {};
            const auto v = of(a);
            return {faintText(first && v ? difference(*first, *v, show) : "-")};
        });
    };
    words("what", [](const Alternative& a) -> Inlines { return {plainText(a.purpose.empty() ? a.sheet : a.purpose)}; });
    words("sheet", [](const Alternative& a) -> Inlines { return {plainText(a.sheet)}; });
    words("verdict", [](const Alternative& a) -> Inlines { return {boxedWord(stampOf(a.verdict))}; });
    words("off", [](const Alternative& a) -> Inlines { return {plainText(std::to_string(a.count))}; });
    words("section", [](const Alternative& a) -> Inlines { return {plainText(a.section.empty() ? "-" : a.section)}; });
    words("governing check", [](const Alternative& a) -> Inlines { return {plainText(a.governing.empty() ? "-" : a.governing)}; });
    numbers(
        "utilisation", [](const Alternative& a) { return a.utilisation; }, [](double v) { return units::showUtilisation(v); });
    numbers(
        "deflection", [](const Alternative& a) { return a.deflection; }, [](double v) { return number(v * 1000.0) + " mm"; });
    numbers(
        "of what is allowed", [](const Alternative& a) { return a.deflectionShare; }, [](double v) { return units::showUtilisation(v); });
    numbers(
        "depth", [](const Alternative& a) { return a.depth; }, [](double v) { return number(v * 1000.0, 4) + " mm"; });
    numbers(
        "mass of one", [](const Alternative& a) { return a.mass; }, [](double v) { return number(v) + " kg"; });
    numbers(
        "pieces of one", [](const Alternative& a) { return std::optional(static_cast<double>(a.pieces)); }, [](double v) { return number(v, 6); });
    numbers(
        "hours for one", [](const Alternative& a) { return std::optional(a.hours); }, [](double v) { return number(v); });
    const std::string currency = list.empty() ? "" : list.front().currency;
    const auto costs = [&](const std::string& name, const std::function<shop::Cents(const Alternative&)>& of) {
        numbers(
            name, [&](const Alternative& a) { return a.cost ? std::optional(shop::fromCents(of(a), a.currency)) : std::nullopt; },
            [&](double v) { return shop::showMoney(shop::toCents(v, currency), currency); });
    };
    costs("cost of all", [](const Alternative& a) { return *a.cost; });
    const bool ranged = std::any_of(list.begin(), list.end(), [](const Alternative& a) { return a.ranged; });
    if (ranged) {
        costs("at the lowest prices", [](const Alternative& a) { return a.low; });
        costs("at the highest prices", [](const Alternative& a) { return a.high; });
    }
    words("the cost is", [](const Alternative& a) -> Inlines {
        if (!a.cost) return {plainText("not known")};
        return {a.costProven ? plainText("of dated prices") : boxedWord(Stamp::NotProven)};
    });
    s.blocks.push_back({std::move(t)});
    if (ranged) s.blocks.push_back({Paragraph{{plainText(std::string("Lowest and highest: ") + shop::Bill::rangeRule() + ".")}, Paragraph::Role::Note}});
    for (const Alternative& a : list) {
        if (a.reasons.empty()) continue;
        Bullets reasons;
        for (const std::string& r : a.reasons) reasons.items.push_back({{plainText(r)}, {}});
        s.blocks.push_back({Heading{3, {plainText("why the cost of " + a.mark + " is not proven")}, ""}});
        s.blocks.push_back({std::move(reasons)});
    }
    d.sections.push_back(std::move(s));
    return d;
}

std::string writeComparisonJson(const std::string& file, const std::vector<Alternative>& list) {
    using Json = nlohmann::ordered_json;
    Json members = Json::array();
    const auto optional = [](const auto& v) { return v ? Json(*v) : Json(nullptr); };
    for (const Alternative& a : list)
        members.push_back({{"mark", a.mark},
                           {"sheet", a.sheet},
                           {"verdict", std::string(stampText(stampOf(a.verdict)))},
                           {"count", a.count},
                           {"governing", a.governing},
                           {"utilisation", optional(a.utilisation)},
                           {"deflection_check", a.deflectionCheck},
                           {"deflection_m", optional(a.deflection)},
                           {"deflection_utilisation", optional(a.deflectionShare)},
                           {"depth_m", optional(a.depth)},
                           {"mass_kg", optional(a.mass)},
                           {"pieces", a.pieces},
                           {"hours", a.hours},
                           {"cost", optional(a.cost)},
                           {"cost_from", a.cost ? Json(a.low) : Json(nullptr)},
                           {"cost_to", a.cost ? Json(a.high) : Json(nullptr)},
                           {"currency", a.currency},
                           {"cost_proven", a.costProven},
                           {"reasons", a.reasons}});
    const Json j{{"format", "spanwright compare"}, {"version", 1}, {"file", file}, {"members", std::move(members)}};
    return j.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace spanwright::report
