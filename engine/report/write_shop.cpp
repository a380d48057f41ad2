// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "engine/base/text.h"
#include "engine/report/clean.h"
#include "engine/report/shop_pages.h"
#include "engine/report/words.h"

namespace spanwright::report {

namespace {

using Json = nlohmann::ordered_json;

std::string csvLine(const std::vector<std::string>& fields) {
    std::string out;
    for (std::size_t i = 0; i < fields.size(); ++i) out += (i == 0 ? "" : ",") + csvField(fields[i]);
    return out + "\n";
}

std::string dumped(const Json& j) { return j.dump(2, ' ', false, Json::error_handler_t::replace) + "\n"; }

double mm(std::int64_t units) { return static_cast<double>(units) / 10.0; }
/// To a micrometre, so that 47 mm is 47.
double millimetre(double metres) { return static_cast<double>(std::llround(metres * 1e6)) / 1e3; }

Json boxJson(const shop::Box& b) { return {{"x_mm", mm(b.x)}, {"y_mm", mm(b.y)}, {"length_mm", mm(b.width)}, {"breadth_mm", mm(b.height)}}; }

Json partsJson(const shop::Workshop& w) {
    Json parts = Json::array();
    for (std::size_t i = 0; i < w.parts.parts.size(); ++i) {
        const shop::Part& p = w.parts.parts[i];
        Json part{{"label", p.label},
                  {"member", p.mark},
                  {"piece", p.view.name},
                  {"count", p.count},
                  {"material", p.view.material},
                  {"thickness_mm", millimetre(p.view.thickness)},
                  {"breadth_mm", millimetre(p.view.breadth)},
                  {"breadth_end_mm", millimetre(p.view.breadthEnd)},
                  {"length_mm", millimetre(p.view.length)},
                  {"planned", p.planned}};
        part["mass_kg"] = w.weights.parts[i].mass ? Json(*w.weights.parts[i].mass) : Json(nullptr);
        Json operations = Json::array();
        for (const auto& o : p.view.operations)
            operations.push_back({{"name", o.name}, {"amount", o.amount}, {"unit", std::string(shop::measureUnit(o.measure))}});
        part["operations"] = std::move(operations);
        parts.push_back(std::move(part));
    }
    return parts;
}

Json problemsJson(const shop::Workshop& w) {
    Json list = Json::array();
    for (const diag::Diagnostic& d : w.problems)
        list.push_back({{"code", std::string(diag::codeText(d.code))},
                        {"severity", std::string(diag::severityText(d.severity))},
                        {"file", d.place.file},
                        {"member", d.member},
                        {"message", d.message},
                        {"mend", d.mend}});
    return list;
}

Json weightsJson(const shop::Workshop& w) {
    Json members = Json::array();
    for (std::size_t i = 0; i < w.weights.members.size(); ++i) { // the same as those of the parts
        const shop::MemberWeight& m = w.weights.members[i];
        Json one{{"member", m.mark},  {"verdict", std::string(stampText(stampOf(w.parts.members[i].verdict)))},
                 {"count", m.count},  {"known", m.known},
                 {"mass_kg", m.mass}, {"glue_and_fasteners_kg", m.fastened}};
        one["centre_m"] = m.centre ? Json(*m.centre) : Json(nullptr);
        one["lift"] = m.known ? Json(shop::adviseLift(m.mass, w.rows.liftOfOne).words) : Json(nullptr);
        members.push_back(std::move(one));
    }
    return {{"known", w.weights.known}, {"mass_kg", w.weights.mass}, {"members", std::move(members)}};
}

Json buyJson(const shop::Workshop& w) {
    Json buy = Json::array();
    for (const shop::GroupPlan& g : w.plan.groups)
        for (const shop::StockUse& u : g.use) {
            const shop::StockRow& s = w.rows.stock[u.stock];
            buy.push_back({{"stock", s.name},
                           {"material", s.material},
                           {"size", shop::sizeOf(s)},
                           {"planned", u.planned},
                           {"spare", u.spare},
                           {"from_on_hand", u.onHand}});
        }
    return buy;
}

} // namespace

std::string writeCutListCsv(const shop::Workshop& w) {
    std::string out = csvLine({"part", "number", "member", "piece", "thickness_mm", "breadth_mm", "breadth_end_mm", "length_mm", "material", "stock", "board",
                               "from_end_mm", "from_edge_mm"});
    const auto size = [&](const shop::Part& p) -> std::vector<std::string> {
        return {p.mark,
                p.view.name,
                shop::millimetres(p.view.thickness),
                shop::millimetres(p.view.breadth),
                shop::millimetres(p.view.breadthEnd),
                shop::millimetres(p.view.length),
                p.view.material};
    };
    const auto line = [&](const shop::Part& p, std::int64_t number, std::vector<std::string> rest) {
        std::vector<std::string> fields{p.label, std::to_string(number)};
        for (std::string& f : size(p)) fields.push_back(std::move(f));
        for (std::string& f : rest) fields.push_back(std::move(f));
        out += csvLine(fields);
    };
    std::vector<std::int64_t> given(w.parts.parts.size(), 0);
    for (const shop::GroupPlan& g : w.plan.groups)
        for (const shop::CutBoard& b : g.boards)
            for (std::int64_t n = 0; n < b.times; ++n)
                for (const shop::CutPiece& p : b.pieces)
                    line(w.parts.parts[p.part], ++given[p.part],
                         {w.rows.stock[b.stock].name, std::to_string(b.number + n), shop::millimetres(shop::metresOf(p.box.x)),
                          shop::millimetres(shop::metresOf(p.box.y))});
    // What found no stock is in the list all the same.
    for (std::size_t i = 0; i < w.parts.parts.size(); ++i)
        while (given[i] < w.parts.parts[i].count) line(w.parts.parts[i], ++given[i], {"", "", "", ""});
    return out;
}

std::string writeCutJson(const std::string& file, const shop::Workshop& w) {
    Json j{{"format", "spanwright cut"},
           {"version", 1},
           {"file", file},
           {"status", w.cutStatus()},
           {"kerf_mm", millimetre(w.rows.saw.kerf)},
           {"crosskerf_mm", millimetre(w.rows.saw.crossKerf)},
           {"trim_mm", millimetre(w.rows.saw.trim)}};
    j["parts"] = partsJson(w);
    j["buy"] = buyJson(w);
    Json groups = Json::array();
    for (const shop::GroupPlan& g : w.plan.groups) {
        Json group{{"title", shop::titleOf(g)},
                   {"pieces", g.pieces},
                   {"boards", g.cut},
                   {"bought", g.bought},
                   {"cost", g.cost},
                   {"at_least", g.atLeast},
                   {"counted_in", g.counted ? "pieces"
                                  : g.money ? "smallest unit of " + w.rows.currency
                                            : "cm2"},
                   {"proven", g.proven},
                   {"how", g.how},
                   {"words", g.words}};
        Json boards = Json::array();
        for (const shop::CutBoard& b : g.boards) {
            Json board{{"number", b.number}, {"times", b.times}, {"stock", w.rows.stock[b.stock].name}, {"on_hand", b.onHand}};
            Json pieces = Json::array(), cuts = Json::array(), offcuts = Json::array();
            for (const shop::CutPiece& p : b.pieces) {
                Json piece = boxJson(p.box);
                piece["part"] = w.parts.parts[p.part].label;
                piece["number"] = p.number;
                piece["turned"] = p.turned;
                pieces.push_back(std::move(piece));
            }
            std::vector<const shop::CutPart*> order;
            for (const shop::CutPart& p : b.tree)
                if (p.kind == shop::CutPart::Kind::Cut) order.push_back(&p);
            std::stable_sort(order.begin(), order.end(), [](const auto* x, const auto* y) { return x->order < y->order; });
            for (const auto* p : order) cuts.push_back({{"order", p->order}, {"across", p->upright}, {"at_mm", mm(p->at)}, {"in", boxJson(p->box)}});
            for (const shop::SlantedCut& s : b.slants)
                cuts.push_back({{"order", s.order}, {"from_mm", {mm(s.from.x), mm(s.from.y)}}, {"to_mm", {mm(s.to.x), mm(s.to.y)}}});
            for (const shop::Box& o : b.offcuts) offcuts.push_back(boxJson(o));
            board["pieces"] = std::move(pieces);
            board["cuts"] = std::move(cuts);
            board["keep"] = std::move(offcuts);
            boards.push_back(std::move(board));
        }
        group["stock_pieces"] = std::move(boards);
        groups.push_back(std::move(group));
    }
    j["plans"] = std::move(groups);
    j["mass"] = weightsJson(w);
    j["left_out"] = w.parts.leftOut;
    j["diagnostics"] = problemsJson(w);
    return dumped(j);
}

std::string writeBillCsv(const shop::Workshop& w) {
    std::vector<std::string> head{"sort", "item", "what", "amount", "from", "to", "currency"};
    for (const shop::MemberCost& m : w.bill.members) head.push_back("share of " + m.mark);
    std::string out = csvLine(head);
    const auto bare = [&](shop::Cents c) {
        const std::string s = shop::showMoney(c, w.bill.currency);
        return s.substr(0, s.find(' '));
    };
    for (const shop::BillLine& l : w.bill.lines) {
        std::vector<std::string> fields{std::string(shop::sortText(l.sort)), l.item, l.what, bare(l.cents), bare(l.low), bare(l.high), w.bill.currency};
        for (const shop::Cents c : l.shares) fields.push_back(bare(c));
        out += csvLine(fields);
    }
    const auto total = [&](const std::string& what, std::vector<std::string> amounts, shop::Cents shop::MemberCost::*share) {
        std::vector<std::string> fields{"total", what, w.bill.proven ? "" : "NOT PROVEN"};
        for (std::string& a : amounts) fields.push_back(std::move(a));
        fields.push_back(w.bill.currency);
        for (const shop::MemberCost& m : w.bill.members) fields.push_back(bare(m.*share));
        out += csvLine(fields);
    };
    total("", {bare(w.bill.total), bare(w.bill.low), bare(w.bill.high)}, &shop::MemberCost::cents);
    if (!w.bill.ranged) return out;
    total("all prices at their lowest", {bare(w.bill.low), "", ""}, &shop::MemberCost::low);
    total("all prices at their highest", {bare(w.bill.high), "", ""}, &shop::MemberCost::high);
    return out;
}

std::string writeBillJson(const std::string& file, const shop::Workshop& w) {
    const auto working = [](const shop::Working& x) { return Json{{"formula", x.formula}, {"put_in", x.putIn}, {"result", x.result}}; };
    const shop::Bill& b = w.bill;
    Json j{{"format", "spanwright price"},
           {"version", 1},
           {"file", file},
           {"status", w.priceStatus()},
           {"currency", b.currency},
           {"minor_digits", shop::minorDigits(b.currency)},
           {"total", b.total},
           {"from", b.low},
           {"to", b.high},
           {"ranged", b.ranged},
           {"proven", b.proven},
           {"reasons", b.reasons},
           {"not_counted", b.notCounted},
           {"hours", b.hours},
           {"waste_share", b.wasteShare},
           {"offcuts_and_waste", b.rest},
           {"rounding", shop::Bill::roundingRule()},
           {"range_rule", shop::Bill::rangeRule()},
           {"working", working(b.working)}};
    Json lines = Json::array();
    for (const shop::BillLine& l : b.lines)
        lines.push_back({{"sort", std::string(shop::sortText(l.sort))},
                         {"item", l.item},
                         {"what", l.what},
                         {"amount", l.cents},
                         {"from", l.low},
                         {"to", l.high},
                         {"offcuts_and_waste", l.rest},
                         {"hours", l.hours},
                         {"shared_by", l.sharedBy},
                         {"shares", l.shares},
                         {"shares_from", l.lowShares},
                         {"shares_to", l.highShares},
                         {"working", working(l.working)}});
    j["lines"] = std::move(lines);
    Json members = Json::array();
    for (const shop::MemberCost& m : b.members) {
        Json one{{"member", m.mark}, {"count", m.count},       {"amount", m.cents},           {"from", m.low},
                 {"to", m.high},     {"material", m.material}, {"offcuts_and_waste", m.rest}, {"consumables", m.consumables},
                 {"tools", m.tools}, {"labour", m.labour},     {"overhead", m.overhead},      {"hours", m.hours}};
        one["by_the_metre"] = m.perMetre ? Json(*m.perMetre) : Json(nullptr);
        one["working"] = working(m.working);
        if (!m.eachWorking.formula.empty()) one["each_working"] = working(m.eachWorking);
        if (!m.perMetreWorking.formula.empty()) one["by_the_metre_working"] = working(m.perMetreWorking);
        members.push_back(std::move(one));
    }
    j["members"] = std::move(members);
    j["buy"] = buyJson(w);
    j["diagnostics"] = problemsJson(w);
    return dumped(j);
}

} // namespace spanwright::report
