// SPDX-License-Identifier: MIT
#include "engine/shop/bill.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "engine/shop/operation_use.h"
#include "engine/shop/stock_use.h"
#include "engine/shop/weights.h"
#include "engine/units/format.h"

namespace spanwright::shop {

using diag::Code;

namespace {

constexpr double kSecondsPerHour = 3600.0;

/// Something as prices are stated, and at the ends of their ranges.
template <class T> struct Ends { T stated{}, low{}, high{}; };

std::string number(double v, int digits = 6) { return units::showNumber(v, {}, {digits, {}, {}}); }

class Biller {
public:
    Biller(const Parts& parts, const CutPlan& plan, const ShopRows& rows, const job::Job& job) : m_parts(parts), m_plan(plan), m_rows(rows), m_job(job) {
        m_out.currency = rows.currency;
        for (std::size_t i = 0; i < parts.members.size(); ++i) m_place[parts.members[i].index] = i;
    }

    [[nodiscard]] Bill make() {
        m_use = usesOf(m_parts, m_plan, m_place);
        const bool priced = !m_rows.currency.empty();
        if (priced) {
            materials();
            for (const ConsumableRow& c : m_rows.consumables) consumable(c);
            for (const ToolRow& t : m_rows.tools) tool(t);
            for (const LabourRow& l : m_rows.labour) labour(l);
            overhead();
            if (m_used && m_rows.date.empty()) undated();
        } else if (!m_rows.unread.any) {
            notProven("the job states no price");
        }
        unpricedOperations();
        if (m_rows.labour.empty() && !m_rows.unread.labour) m_out.notCounted.emplace_back("labour: the job states none");
        for (const BuiltMember& m : m_parts.members) {
            if (!m.named)
                m_out.notCounted.push_back(m.mark + ": its sheet names no pieces");
            else if (!m.cut && m.whole)
                m_out.notCounted.push_back(m.mark + ": it has no pieces of its own");
            if (!m.whole) notProven("not every piece of " + m.mark + " could be worked out");
        }
        for (const std::string& left : m_parts.leftOut) m_out.notCounted.push_back(left);
        if (!m_plan.whole) notProven("not every piece finds stock");
        if (!m_rows.saw.stated) notProven("the kerf of the saw is assumed");
        const auto wrong = [](const diag::Diagnostic& d) { return d.severity == diag::Severity::Error; };
        if (m_rows.unread.any)
            notProven("not every row of the workshop could be read");
        else if (std::any_of(m_rows.problems.begin(), m_rows.problems.end(), wrong))
            notProven("something is wrong in the rows of the workshop");
        sumUp();
        return std::move(m_out);
    }

private:
    void notProven(const std::string& why) {
        m_out.proven = false;
        if (std::find(m_out.reasons.begin(), m_out.reasons.end(), why) == m_out.reasons.end()) m_out.reasons.push_back(why);
    }

    void tell(Code code, diag::Severity severity, const diag::Place& place, std::string message, std::string mend) {
        diag::Diagnostic d;
        d.code = code;
        d.severity = severity;
        d.place = place;
        d.message = std::move(message);
        d.mend = std::move(mend);
        m_out.problems.push_back(std::move(d));
    }

    void undated() {
        diag::Place place;
        place.file = m_job.path();
        const auto& rows = m_job.document().rows();
        for (std::uint32_t i = 0; i < rows.size(); ++i)
            if (rows[i].kind == syntax::RowKind::Date) place = m_job.document().place(i, rows[i]->keyword.span);
        const bool stated = !m_job.cover().date.empty();
        tell(Code::JobUndated, diag::Severity::Warning, place,
             stated ? "the job's date `" + m_job.cover().date + "` is no day, so nobody can tell whether a price has expired"
                    : "the job states no date, so nobody can tell whether a price has expired",
             "write `date 2026-05-04`, the day on which prices are judged");
        notProven("the job has no date to judge prices on");
    }

    /// Money for `amount` by `price` in the bill's currency; a missing price or rate is told once.
    [[nodiscard]] std::optional<Ends<double>> money(const Price& price, double amount, const std::string& item, const diag::Place& place) {
        if (price.unread) {
            notProven("the price of `" + item + "` could not be read");
            return std::nullopt;
        }
        if (!price.stated()) {
            tell(Code::PriceMissing, diag::Severity::Error, place, "`" + item + "` must be bought and has no price",
                 "write one, such as `3.90 EUR/m on 2026-05-04`");
            notProven("`" + item + "` has no price");
            return std::nullopt;
        }
        m_used = true;
        if (m_judged.insert(item).second) {
            for (diag::Diagnostic& d : judgePrice(price, item, m_rows.date)) {
                notProven(d.message);
                m_out.problems.push_back(std::move(d));
            }
        }
        const auto converted = [&](PriceEnd end) { return inCurrency(price.at(end) * amount, price.currency, m_rows.currency, m_job.rates()); };
        if (!converted(PriceEnd::Stated)) {
            m_out.problems.push_back(noRate(price, item, m_rows.currency));
            notProven("no rate from " + price.currency + " to " + m_rows.currency);
            return std::nullopt;
        }
        if (price.ranged()) m_out.ranged = true;
        return Ends<double>{*converted(PriceEnd::Stated), *converted(PriceEnd::Low), *converted(PriceEnd::High)};
    }

    /// A price as it stands in a working.
    [[nodiscard]] static std::string priceWords(const Price& price) { return price.ranged() ? "(" + price.text + ")" : price.text; }

    [[nodiscard]] std::string rateWords(const Price& price) const {
        return price.currency == m_rows.currency
                   ? ""
                   : " x rate " + number(*inCurrency(1.0, price.currency, m_rows.currency, m_job.rates())) + " " + m_rows.currency + "/" + price.currency;
    }

    /// Rounds the amounts and shares them by `weights`.
    void add(BillLine line, const Ends<double>& amount, const Ends<std::vector<double>>& weights) {
        const auto cents = [&](double v) { return toCents(v, m_rows.currency); };
        line.cents = cents(amount.stated);
        line.low = cents(amount.low);
        line.high = cents(amount.high);
        line.shares = share(line.cents, weights.stated);
        line.lowShares = shareBeside(line.low, weights.low, line.shares, true);
        line.highShares = shareBeside(line.high, weights.high, line.shares, false);
        line.working.result = withRange(line.cents, line.low, line.high);
        m_out.lines.push_back(std::move(line));
    }
    void add(BillLine line, const Ends<double>& amount, const std::vector<double>& weights) { add(std::move(line), amount, {weights, weights, weights}); }

    /// "192.00 EUR", "192.00 EUR (182.40 to 201.60 EUR)".
    [[nodiscard]] std::string withRange(Cents stated, Cents low, Cents high) const { return showMoney(stated, low, high, m_rows.currency); }

    void materials() {
        for (std::size_t s = 0; s < m_rows.stock.size(); ++s) {
            const StockRow& stock = m_rows.stock[s];
            const StockBought bought = boughtOf(s, m_parts, m_plan, m_rows, m_place);
            const std::int64_t planned = bought.planned, spare = bought.spare;
            if (planned == 0) continue;
            m_usedArea += bought.usedArea;
            m_boughtArea += bought.area;
            const double size = priceFactor(stock);
            const auto amount = money(stock.price, size * static_cast<double>(planned + spare), stock.name, stock.place);
            if (!amount) continue;
            BillLine line;
            line.sort = BillLine::Sort::Material;
            line.item = stock.name;
            line.what = stock.material + " " + sizeOf(stock) + ", " + std::to_string(planned + spare) + (stock.panel ? " panel" : " board") +
                        (planned + spare == 1 ? "" : "s");
            line.working.formula = priceFactorFormula(stock) + "number bought" + (spare > 0 ? " (planned + spare by the rule of waste)" : "");
            line.working.putIn = priceWords(stock.price) + priceFactorPutIn(stock) + rateWords(stock.price) + " x " +
                                 (spare > 0 ? "(" + std::to_string(planned) + " + " + std::to_string(spare) + ")" : std::to_string(planned));
            line.rest = share(toCents(amount->stated, m_rows.currency), {bought.usedArea, std::max(bought.area - bought.usedArea, 0.0)})[1];
            line.sharedBy = "area used, kerf counted; the rest in the same proportion";
            add(std::move(line), *amount, bought.used);
        }
    }

    /// The use of a row's operation; one that is measured otherwise than the row states is told.
    [[nodiscard]] const Use* useOf(const std::string& operation, Measure measure, const std::string& item, const diag::Place& place) {
        const auto found = m_use.find({operation, measure});
        for (const Measure other : {Measure::Length, Measure::Area, Measure::Count}) {
            const auto there = m_use.find({operation, other});
            if (other == measure || there == m_use.end() || there->second.sum() <= 0.0) continue;
            const std::string is = other == Measure::Count ? "each" : "by the " + std::string(measureUnit(other));
            const std::string states = measure == Measure::Count ? "each" : "by the " + std::string(measureUnit(measure));
            tell(Code::ShopUnits, diag::Severity::Error, place,
                 "`" + operation + "` is measured " + is + " in the pieces, and `" + item + "` states it " + states, "state it as the pieces do");
            notProven("`" + item + "` does not fit how `" + operation + "` is measured");
        }
        return found == m_use.end() || found->second.sum() <= 0.0 ? nullptr : &found->second;
    }

    void consumable(const ConsumableRow& c) {
        const Use* use = useOf(c.operation, c.measure, c.name, c.place);
        if (use == nullptr) return;
        std::vector<double> amounts(m_parts.members.size(), 0.0);
        double net = 0.0;
        for (const Part& p : m_parts.parts)
            for (const auto& o : p.view.operations) {
                if (o.name != c.operation || o.measure != c.measure) continue;
                const double a = amountFor(c, o.amount) * static_cast<double>(p.count);
                amounts[m_place[p.member]] += a;
                net += a;
            }
        for (std::size_t i = 0; net == 0.0 && i < amounts.size(); ++i) amounts[i] = c.amount * use->amounts[i];
        if (net == 0.0)
            for (const double a : amounts) net += a;
        double bought = net / (1.0 - c.loss);
        std::string words = shown(c, net);
        if (c.loss > 0.0) words += " / (1 - " + number(c.loss * 100.0) + " %)";
        if (c.pack) {
            const double packs = std::ceil(bought / *c.pack - 1e-9);
            words = shown(c, bought) + ", in packs of " + shown(c, *c.pack) + ": " + number(packs) + " x " + shown(c, *c.pack);
            bought = packs * *c.pack;
        } else if (c.unit.dimension.isNumber()) {
            bought = std::ceil(bought - 1e-9);
        }
        const auto amount = money(c.price, bought, c.name, c.place);
        if (!amount) return;
        BillLine line;
        line.sort = BillLine::Sort::Consumable;
        line.item = c.name;
        line.what = (c.what.empty() ? c.operation : c.what) + ", " + shown(c, bought);
        line.working.formula = std::string("price x amount") + (c.loss > 0.0 ? " with losses" : "") + (c.pack ? ", whole packs" : "");
        line.working.putIn = priceWords(c.price) + rateWords(c.price) + " x (" + words + ")";
        line.sharedBy = "amount used";
        add(std::move(line), *amount, amounts);
    }

    static std::string shown(const ConsumableRow& c, double amount) {
        if (c.unit.dimension == units::Dimension::of(units::Base::Mass)) return number(amount, 4) + " kg";
        if (!c.unit.dimension.isNumber()) return number(amount * 1000.0, 4) + " l";
        return number(amount, 4) + " pieces";
    }

    void tool(const ToolRow& t) {
        const Use* use = useOf(t.operation, t.measure, t.name, t.place);
        if (use == nullptr) return;
        const double sum = use->sum();
        const auto amount = money(t.price, sum / t.life, t.name, t.place);
        if (!amount) return;
        const std::string unit(measureUnit(t.measure));
        BillLine line;
        line.sort = BillLine::Sort::Tool;
        line.item = t.name;
        line.what = "wear by " + number(sum, 4) + (unit.empty() ? " times " : " " + unit + " of ") + t.operation;
        line.working.formula = "price x use / life";
        line.working.putIn = priceWords(t.price) + rateWords(t.price) + " x " + number(sum, 4) + " " + unit + " / " + number(t.life, 4) + " " + unit;
        line.sharedBy = "use";
        add(std::move(line), *amount, use->amounts);
    }

    void labour(const LabourRow& l) {
        const bool whole = l.operation == "job" && l.measure == Measure::Count;
        Use once;
        const Use* use = nullptr;
        if (whole) {
            once.amounts = sharesSoFar(&BillLine::shares); // at all ends alike: dearer boards of one make no other cheaper
            use = &once;
        } else {
            use = useOf(l.operation, l.measure, l.operation, l.place);
        }
        if (use == nullptr) return;
        const double sum = whole ? 1.0 : use->sum();
        const double seconds = sum * l.time;
        const auto amount = money(l.wage, seconds, l.operation, l.place);
        if (!amount) return;
        const std::string unit(measureUnit(l.measure));
        BillLine line;
        line.sort = BillLine::Sort::Labour;
        line.item = l.operation;
        line.hours = seconds / kSecondsPerHour;
        line.what = (l.what.empty() ? "" : l.what + ", ") + number(sum, 4) + (unit.empty() ? " times" : " " + unit) + ", " + number(line.hours, 3) + " h";
        line.working.formula = "amount x time x wage";
        line.working.putIn = number(sum, 5) + (unit.empty() ? "" : " " + unit) + " x " + l.timeText + " x " + priceWords(l.wage) + rateWords(l.wage);
        line.sharedBy = whole ? "cost so far" : "amount";
        add(std::move(line), *amount, use->amounts);
    }

    [[nodiscard]] std::vector<double> sharesSoFar(std::vector<Cents> BillLine::*shares) const {
        std::vector<double> out(m_parts.members.size(), 0.0);
        for (const BillLine& l : m_out.lines)
            for (std::size_t i = 0; i < out.size(); ++i) out[i] += static_cast<double>((l.*shares)[i]);
        return out;
    }

    void overhead() {
        if (m_rows.overhead <= 0.0) return;
        Ends<Cents> sum;
        for (const BillLine& l : m_out.lines) {
            sum.stated += l.cents;
            sum.low += l.low;
            sum.high += l.high;
        }
        if (sum.high == 0) return;
        const auto part = [&](Cents c) { return fromCents(c, m_rows.currency) * m_rows.overhead; };
        BillLine line;
        line.sort = BillLine::Sort::Overhead;
        line.item = "overhead";
        line.what = number(m_rows.overhead * 100.0) + " % of all above";
        line.working.formula = "share x sum of all lines above";
        line.working.putIn = number(m_rows.overhead * 100.0) + " % x " + withRange(sum.stated, sum.low, sum.high);
        line.sharedBy = "cost so far";
        add(std::move(line), {part(sum.stated), part(sum.low), part(sum.high)},
            {sharesSoFar(&BillLine::shares), sharesSoFar(&BillLine::lowShares), sharesSoFar(&BillLine::highShares)});
    }

    void unpricedOperations() {
        std::set<std::string> told;
        for (const auto& [key, use] : m_use) {
            const std::string& operation = key.first;
            if (operation == "member" || use.sum() <= 0.0) continue;
            const bool labour = std::any_of(m_rows.labour.begin(), m_rows.labour.end(), [&](const LabourRow& l) { return l.operation == operation; });
            const bool consumed =
                std::any_of(m_rows.consumables.begin(), m_rows.consumables.end(), [&](const ConsumableRow& c) { return c.operation == operation; });
            if (m_rows.unread.operations.count(operation) + m_rows.unread.operations.count({}) > 0) continue; // told at its row
            if (!labour && !m_rows.labour.empty()) m_out.notCounted.push_back("labour of " + operation + ": no row states it");
            if (labour || consumed || use.first == nullptr || !told.insert(operation).second) continue;
            tell(Code::NotCosted, diag::Severity::Warning, use.first->view.place,
                 "`" + operation + "` of the piece `" + use.first->view.name + "` has neither a labour row nor a consumable: its cost is not in the total",
                 "write `labour " + operation + " = TIME, WAGE` or `consumable NAME = " + operation + ", AMOUNT, PRICE` in the job");
            m_out.problems.back().member = use.first->mark;
        }
    }

    void sumUp() {
        for (const BuiltMember& m : m_parts.members) {
            MemberCost c;
            c.index = m.index;
            c.mark = m.mark;
            c.count = m.count;
            c.length = m.length;
            m_out.members.push_back(std::move(c));
        }
        Cents bySort[5] = {};
        for (const BillLine& l : m_out.lines) {
            m_out.total += l.cents;
            m_out.low += l.low;
            m_out.high += l.high;
            m_out.rest += l.rest;
            m_out.hours += l.hours;
            bySort[static_cast<int>(l.sort)] += l.cents;
            std::vector<double> weights;
            for (const Cents c : l.shares) weights.push_back(static_cast<double>(c));
            const std::vector<Cents> rest = share(l.rest, weights);
            for (std::size_t i = 0; i < m_out.members.size(); ++i) {
                MemberCost& c = m_out.members[i];
                c.cents += l.shares[i];
                c.low += l.lowShares[i];
                c.high += l.highShares[i];
                Cents* const sorts[] = {&c.material, &c.consumables, &c.tools, &c.labour, &c.overhead};
                *sorts[static_cast<int>(l.sort)] += l.shares[i];
                if (l.rest > 0) c.rest += rest[i];
                if (l.cents != 0) c.hours += l.hours * static_cast<double>(l.shares[i]) / static_cast<double>(l.cents);
            }
        }
        const auto money = [&](Cents c) { return showMoney(c, m_rows.currency); };
        const auto parts = [&](const Cents(&c)[5]) {
            return money(c[0]) + " + " + money(c[1]) + " + " + money(c[2]) + " + " + money(c[3]) + " + " + money(c[4]);
        };
        constexpr const char* kFormula = "material + consumables + tools + labour + overhead";
        for (std::size_t i = 0; i < m_out.members.size(); ++i) {
            MemberCost& c = m_out.members[i];
            const BuiltMember& m = m_parts.members[i];
            c.working = {kFormula, parts({c.material, c.consumables, c.tools, c.labour, c.overhead}), withRange(c.cents, c.low, c.high)};
            const auto divided = [&](double by) {
                const auto of = [&](Cents cents) { return toCents(fromCents(cents, m_rows.currency) / by, m_rows.currency); };
                return withRange(of(c.cents), of(c.low), of(c.high));
            };
            const double count = static_cast<double>(m.count);
            if (m.count > 1 && c.cents != 0) c.eachWorking = {"cost of all / number", money(c.cents) + " / " + std::to_string(m.count), divided(count)};
            if (m.length > 0.0 && c.cents != 0) {
                c.perMetre = fromCents(c.cents, m_rows.currency) / (m.length * count);
                c.perMetreWorking = {"cost of all / (number x length)", money(c.cents) + " / (" + std::to_string(m.count) + " x " + number(m.length) + " m)",
                                     divided(m.length * count)};
            }
        }
        if (m_rows.currency.empty()) return;
        m_out.working = {kFormula, parts(bySort), withRange(m_out.total, m_out.low, m_out.high)};
        if (m_boughtArea > 0.0) {
            m_out.wasteShare = 1.0 - m_usedArea / m_boughtArea;
            const double square = kUnitsPerMetre * kUnitsPerMetre;
            m_out.wasteWorking = {"1 - area of the pieces with the kerf beside them / area bought, spares counted",
                                  "1 - " + number(m_usedArea / square, 4) + " m² / " + number(m_boughtArea / square, 4) + " m²",
                                  number(m_out.wasteShare * 100.0, 3) + " %"};
        }
    }

    const Parts& m_parts;
    const CutPlan& m_plan;
    const ShopRows& m_rows;
    const job::Job& m_job;
    std::map<std::size_t, std::size_t> m_place; ///< from the job's member to the built one
    Uses m_use;
    std::set<std::string> m_judged;
    double m_usedArea = 0.0, m_boughtArea = 0.0;
    bool m_used = false;
    Bill m_out;
};

} // namespace

std::string_view sortText(BillLine::Sort s) {
    switch (s) {
    case BillLine::Sort::Material: return "material";
    case BillLine::Sort::Consumable: return "consumables";
    case BillLine::Sort::Tool: return "tools";
    case BillLine::Sort::Labour: return "labour";
    case BillLine::Sort::Overhead: return "overhead";
    }
    return "";
}

const char* Bill::roundingRule() {
    return "each line is rounded once to the smallest unit of the currency, half away from zero; shares are rounded down and what is left goes unit by unit "
           "to the largest remainders, so members add up to lines and lines to the total";
}

const char* Bill::rangeRule() {
    return "every price may be anywhere within its range; the lowest ends of all are added, and so are the highest, because prices may all move together; "
           "the cutting plan is that of the prices as stated";
}

Bill makeBill(const Parts& parts, const CutPlan& plan, const ShopRows& rows, const job::Job& job) { return Biller(parts, plan, rows, job).make(); }

} // namespace spanwright::shop
