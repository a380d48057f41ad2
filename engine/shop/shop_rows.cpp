// SPDX-License-Identifier: MIT
// What a job says of its workshop: stock, saw, labour, tools, consumables, rules.
#include "engine/shop/shop_rows.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "engine/base/text.h"
#include "engine/shop/clause_reader.h"
#include "engine/shop/money.h"
#include "engine/shop/price_list.h"
#include "engine/syntax/kinds.h"

namespace spanwright::shop {

using diag::Code;
using syntax::RowKind;

namespace {

constexpr double kMostSize = 100.0; // m
constexpr double kMostOnHand = 100'000;

/// How `d` is measured if it is `of` each, by the metre or by the m²: 1/m is a number by the metre, min/m^2 a time by the m².
[[nodiscard]] std::optional<Measure> measureOf(const units::Dimension& d, const units::Dimension& of) {
    units::Dimension by = of;
    for (const Measure m : {Measure::Count, Measure::Length, Measure::Area}) {
        if (d == by) return m;
        by = by.over(units::Dimension::of(units::Base::Length));
    }
    return std::nullopt;
}

class RowsReader {
public:
    RowsReader(const job::Job& job, const std::optional<PriceFile>& prices) : m_job(job), m_document(job.document()), m_override(prices) {}

    [[nodiscard]] ShopRows read() {
        std::string prices;
        std::uint32_t pricesRow = 0;
        for (std::uint32_t i = 0; i < m_document.rows().size(); ++i) {
            const syntax::Row& row = m_document.rows()[i];
            if (row.kind == RowKind::Prices && row->path.present()) {
                prices = row->path.text;
                pricesRow = i;
                m_out.any = true;
            }
            if (!syntax::isShopRow(row.kind)) continue;
            m_out.any = true;
            if (!row->complaints.empty() || row->clauses.empty())
                unread(row, row->clauses.empty() ? std::string() : row->clauses.front().text.text); // told by the document
            else
                one(row, i);
        }
        m_out.date = isDate(m_job.cover().date) ? m_job.cover().date : std::string();
        if (m_override) {
            m_out.priceFile = m_override->name;
            applyPrices(m_override->name, m_override->bytes, m_out);
        } else if (!prices.empty()) {
            const diag::Place place = m_document.place(pricesRow, m_document.rows()[pricesRow]->path.span);
            if (auto bytes = m_job.readBeside(prices, place)) {
                m_out.priceFile = prices;
                applyPrices(prices, bytes.value(), m_out);
            } else {
                m_out.problems.push_back(bytes.error());
            }
        }
        if (m_out.currency.empty()) m_out.currency = firstCurrency();
        for (const auto& [item, price] : allPrices())
            if (price->stated() && !inCurrency(1.0, price->currency, m_out.currency, m_job.rates()))
                m_out.problems.push_back(noRate(*price, item, m_out.currency));
        return std::move(m_out);
    }

private:
    void one(const syntax::Row& row, std::uint32_t index) {
        ClauseReader r(m_document, index, m_out.problems);
        const std::string first = r.text();
        const std::size_t before = m_out.problems.size();
        switch (row.kind) {
        case RowKind::Stock: stock(row, r); break;
        case RowKind::Saw: saw(r); break;
        case RowKind::Labour: labour(row, r); break;
        case RowKind::Tool: tool(row, r); break;
        case RowKind::Consumable: consumable(row, r); break;
        case RowKind::Overhead: share(r, m_out.overhead, 10.0); break;
        case RowKind::Waste: share(r, m_out.waste, 0.9); break;
        case RowKind::Moisture:
            share(r, m_out.moisture, 0.6);
            m_out.moistureStated = m_out.problems.size() == before;
            break;
        case RowKind::Currency: currency(r); break;
        case RowKind::Lift: lift(r); break;
        default: break;
        }
        if (m_out.problems.size() > before) unread(row, first);
    }

    /// Keeps what a row was about that could not be read; `first` is its first clause.
    void unread(const syntax::Row& row, const std::string& first) {
        UnreadRows& u = m_out.unread;
        u.any = true;
        if (row->name.present()) u.names.insert(row->name.text);
        switch (row.kind) {
        case RowKind::Stock: {
            StockRow s = std::exchange(m_stock, {});
            s.material = first;
            u.stock.push_back(std::move(s));
            return;
        }
        case RowKind::Saw: m_out.saw.unread = true; return;
        case RowKind::Labour:
            u.labour = true;
            u.operations.insert(row->name.text);
            return;
        case RowKind::Consumable: u.operations.insert(first); return;
        default: return;
        }
    }

    /// Names of stock, labour, tools and consumables are what a file of prices calls them by.
    [[nodiscard]] bool fresh(const syntax::Row& row, const ClauseReader& r) {
        if (m_names.insert(row->name.text).second) return true;
        r.tell(Code::ShopTwice, row->name.span, "there is a stock, labour, tool or consumable `" + row->name.text + "` already",
               "give one of them another name");
        return false;
    }

    void stock(const syntax::Row& row, ClauseReader& r) {
        StockRow& s = m_stock;
        s = {};
        s.name = row->name.text;
        s.what = row->what.text;
        s.place = m_document.place(r.row(), row->name.span);
        s.material = r.text();
        if (!r.next()) return r.missing("its sizes, such as `47 mm by 195 mm by 4.8 m`");
        if (!r.sizes({&s.thickness, &s.breadth, &s.length}, 1e-4, kMostSize)) return;
        s.nominalThickness = s.thickness;
        s.nominalBreadth = s.breadth;
        while (r.next()) {
            bool ok = true;
            if (r.is("panel")) {
                s.panel = true;
            } else if (r.take("have")) {
                double n = 0.0;
                ok = r.number(n, 0.0, kMostOnHand, "a whole number of pieces");
                s.onHand = static_cast<std::int64_t>(n);
                if (ok && n != std::floor(n)) {
                    r.tell(Code::ShopUnits, "there cannot be a part of a piece on hand",
                           "write a whole number, and a stock of its own for what is left of a piece");
                    return;
                }
            } else if (r.take("waste")) {
                double w = 0.0;
                ok = r.number(w, 0.0, 0.9, "a share from 0 to 90 %");
                s.waste = w;
            } else if (r.take("nominal")) {
                ok = r.sizes({&s.nominalThickness, &s.nominalBreadth}, 1e-4, kMostSize);
            } else {
                ok = r.price(s.price);
                if (ok) ok = stockPrice(s, r);
            }
            if (!ok) return;
        }
        if (fresh(row, r)) m_out.stock.push_back(std::move(s));
    }

    [[nodiscard]] static bool stockPrice(const StockRow& s, const ClauseReader& r) {
        const units::Dimension length = units::Dimension::of(units::Base::Length);
        const units::Dimension& d = s.price.per;
        if (d.isNumber() || d == length || d == length.times(length) || d == length.times(length).times(length)) return true;
        r.tell(Code::ShopUnits, "stock is not sold by such a unit", "write a price each, by the metre, m², m³ or bdft");
        return false;
    }

    void saw(ClauseReader& r) {
        SawRow s;
        s.stated = true;
        std::optional<double> cross;
        do {
            bool ok = true;
            if (r.take("kerf")) {
                ok = r.length(s.kerf, 0.0, 0.05);
            } else if (r.take("crosskerf")) {
                double k = 0.0;
                ok = r.length(k, 0.0, 0.05);
                cross = k;
            } else if (r.take("trim")) {
                ok = r.length(s.trim, 0.0, 1.0);
            } else if (r.take("plane")) {
                ok = r.length(s.plane, 0.0, 0.05);
            } else if (r.take("keep")) {
                ok = r.sizes({&s.keepLength, &s.keepBreadth}, 0.0, kMostSize);
            } else {
                r.unknown("kerf, crosskerf, trim, plane and keep");
                ok = false;
            }
            if (!ok) return;
        } while (r.next());
        s.crossKerf = cross.value_or(s.kerf);
        s.unread = m_out.saw.unread;
        m_out.saw = s;
    }

    void labour(const syntax::Row& row, ClauseReader& r) {
        LabourRow l;
        l.operation = row->name.text;
        l.what = row->what.text;
        l.place = m_document.place(r.row(), row->name.span);
        units::Written time;
        l.timeText = r.text();
        if (!r.value(time)) return;
        const auto measure = measureOf(time.unit.dimension, units::Dimension::of(units::Base::Time));
        if (!measure) return r.tell(Code::ShopUnits, "this has no fitting unit", "write a time such as `1.5 min/m`, by the metre, by the m², or each");
        l.measure = *measure;
        l.time = time.si;
        if (!(l.time >= 0.0)) return r.tell(Code::ShopUnits, "a time cannot be less than nothing", "write a time such as `1.5 min/m`");
        if (!r.next()) return r.missing("a wage, such as `32 EUR/h`");
        if (!r.price(l.wage)) return;
        if (l.wage.per != units::Dimension::of(units::Base::Time))
            return r.tell(Code::ShopUnits, "a wage is money for a time", "write a wage such as `32 EUR/h`");
        while (r.next()) {
            if (r.dates(l.wage)) continue;
            return r.unknown("on and until");
        }
        if (fresh(row, r)) m_out.labour.push_back(std::move(l));
    }

    void tool(const syntax::Row& row, ClauseReader& r) {
        ToolRow t;
        t.name = row->name.text;
        t.what = row->what.text;
        t.place = m_document.place(r.row(), row->name.span);
        t.operation = r.word();
        if (t.operation.empty()) return;
        bool life = false;
        while (r.next()) {
            bool ok = true;
            if (r.take("life")) {
                ok = amount(r, t.life, t.measure, true);
                life = ok;
            } else if (r.take("used")) {
                Measure m = t.measure;
                ok = amount(r, t.used, m, false);
                if (ok && life && m != t.measure && t.used > 0.0) {
                    r.tell(Code::ShopUnits, "what is used of a tool's life is measured as its life is", "write both as lengths, areas or numbers");
                    return;
                }
            } else if (r.take("pass")) {
                double p = 0.0;
                ok = r.length(p, 1e-5, 1.0);
                t.pass = p;
            } else if (!r.dates(t.price)) {
                ok = r.price(t.price);
                if (ok && !t.price.per.isNumber()) {
                    r.tell(Code::ShopUnits, "a tool has a price each", "write a price such as `48 EUR`");
                    return;
                }
            }
            if (!ok) return;
        }
        if (!life) return r.missing("its life, such as `life 300 m`");
        if (fresh(row, r)) m_out.tools.push_back(std::move(t));
    }

    [[nodiscard]] static bool amount(const ClauseReader& r, double& into, Measure& m, bool positive) {
        units::Written v;
        if (!r.value(v)) return false;
        // A life of 300 m is one 300th of a tool by the metre.
        const auto measure = measureOf(units::Dimension().over(v.unit.dimension), units::Dimension());
        if (!measure) {
            r.tell(Code::ShopUnits, "use is measured as a length, an area or a number", "write an amount such as `300 m`");
            return false;
        }
        m = *measure;
        into = v.si;
        if (positive ? v.si > 0.0 : v.si >= 0.0) return true;
        r.tell(Code::ShopUnits, positive ? "this must be more than nothing" : "this cannot be less than nothing", "write an amount such as `300 m`");
        return false;
    }

    void consumable(const syntax::Row& row, ClauseReader& r) {
        ConsumableRow c;
        c.name = row->name.text;
        c.what = row->what.text;
        c.place = m_document.place(r.row(), row->name.span);
        c.operation = r.word();
        if (c.operation.empty()) return;
        bool amount = false;
        std::string weighs, pack;
        base::ByteSpan weighsSpan, packSpan;
        while (r.next()) {
            bool ok = true;
            if (r.take("pitch")) {
                double p = 0.0;
                ok = r.length(p, 1e-4, 100.0);
                c.pitch = p;
                c.measure = Measure::Length;
                amount = ok;
            } else if (r.take("weighs")) {
                units::Written v;
                ok = r.value(v);
                if (ok) m_weighs = v;
                c.weighs = v.si;
            } else if (r.take("loss")) {
                ok = r.number(c.loss, 0.0, 0.9, "a share from 0 to 90 %");
            } else if (r.take("pack")) {
                units::Written v;
                ok = r.value(v);
                if (ok) m_pack = v;
                c.pack = v.si;
            } else if (!r.dates(c.price)) {
                units::Written v;
                // The first value without money in it is the amount.
                if (!amount && !r.looksLikeMoney()) {
                    ok = r.value(v) && takeAmount(v, c, r);
                    amount = ok;
                } else {
                    ok = r.price(c.price);
                }
            }
            if (!ok) return;
        }
        if (!amount) return r.missing("how much of it is used, such as `350 g/m^2` or `pitch 150 mm`");
        if (!finish(c, r)) return;
        m_weighs.reset();
        m_pack.reset();
        if (fresh(row, r)) m_out.consumables.push_back(std::move(c));
    }

    [[nodiscard]] static bool takeAmount(const units::Written& v, ConsumableRow& c, const ClauseReader& r) {
        if (!(v.si > 0.0)) {
            r.tell(Code::ShopUnits, "this must be more than nothing", "write an amount such as `350 g/m^2`");
            return false;
        }
        const units::Dimension length = units::Dimension::of(units::Base::Length);
        c.amount = v.si;
        // A number, a mass, a volume; l/m is m², which is a volume by the metre.
        for (const units::Dimension& of : {units::Dimension(), units::Dimension::of(units::Base::Mass), length.times(length).times(length)})
            if (const auto measure = measureOf(v.unit.dimension, of)) {
                c.measure = *measure;
                c.unit.dimension = of;
                return true;
            }
        r.tell(Code::ShopUnits, "what is used is a mass, a volume or a number, by the metre, by the m², or each", "write an amount such as `350 g/m^2`");
        return false;
    }

    /// The units of weight, pack and price must fit what it is counted in.
    [[nodiscard]] bool finish(ConsumableRow& c, const ClauseReader& r) {
        const units::Dimension mass = units::Dimension::of(units::Base::Mass);
        const units::Dimension& in = c.unit.dimension;
        if (m_weighs && (m_weighs->unit.dimension != mass.over(in) || !(m_weighs->si >= 0.0))) {
            r.tellRow(Code::ShopUnits, "what it weighs does not fit what it is counted in", "write a mass for one of it, such as `weighs 4 g`");
            return false;
        }
        if (in == mass && !m_weighs) c.weighs = 1.0;
        if (m_pack && (m_pack->unit.dimension != in || !(m_pack->si > 0.0))) {
            r.tellRow(Code::ShopUnits, "a pack does not fit what it is counted in", "write a pack such as `pack 5 kg`");
            return false;
        }
        if (c.price.stated() && c.price.per != in) {
            r.tellRow(Code::ShopUnits, "its price does not fit what it is counted in",
                      "write a price for one unit of the amount, such as `14.50 EUR/kg` for grams");
            return false;
        }
        return true;
    }

    void share(ClauseReader& r, double& into, double most) {
        double v = 0.0;
        if (!r.number(v, 0.0, most, "a share such as `8 %`")) return;
        if (r.next()) return r.unknown("one share");
        into = v;
    }

    void currency(ClauseReader& r) {
        const std::string code = r.text();
        const auto unit = units::readUnit(code);
        const bool money = unit && unit.value().dimension.currencies().size() == 1 && unit.value().dimension == units::Dimension::currency(code);
        if (!money) return r.tell(Code::ShopUnits, "`" + code + "` is no currency", "write its ISO 4217 code, such as `EUR`");
        m_out.currency = code;
    }

    void lift(ClauseReader& r) {
        units::Written v;
        if (!r.value(v)) return;
        if (v.unit.dimension != units::Dimension::of(units::Base::Mass) || !(v.si > 0.0) || v.si > 100.0)
            return r.tell(Code::ShopUnits, "what one person lifts is a mass up to 100 kg", "write a mass such as `25 kg`");
        m_out.liftOfOne = v.si;
        m_out.liftStated = true;
    }

    [[nodiscard]] std::vector<std::pair<std::string, const Price*>> allPrices() const {
        std::vector<std::pair<std::string, const Price*>> out;
        for (const auto& s : m_out.stock) out.emplace_back(s.name, &s.price);
        for (const auto& l : m_out.labour) out.emplace_back(l.operation, &l.wage);
        for (const auto& c : m_out.consumables) out.emplace_back(c.name, &c.price);
        for (const auto& t : m_out.tools) out.emplace_back(t.name, &t.price);
        return out;
    }

    [[nodiscard]] std::string firstCurrency() const {
        for (const auto& [item, price] : allPrices())
            if (price->stated()) return price->currency;
        return {};
    }

    const job::Job& m_job;
    const syntax::Document& m_document;
    const std::optional<PriceFile>& m_override;
    std::set<std::string> m_names;
    StockRow m_stock; ///< being read
    std::optional<units::Written> m_weighs, m_pack;
    ShopRows m_out;
};

} // namespace

ShopRows readShopRows(const job::Job& job, const std::optional<PriceFile>& prices) { return RowsReader(job, prices).read(); }

std::optional<double> inCurrency(double amount, const std::string& from, const std::string& to, const std::vector<meaning::Rate>& rates) {
    if (from == to) return amount;
    const units::Dimension a = units::Dimension::currency(from), b = units::Dimension::currency(to);
    for (const meaning::Rate& rate : rates) {
        if (rate.from == a && rate.to == b) return amount * rate.perOne;
        if (rate.from == b && rate.to == a) return amount / rate.perOne;
    }
    return std::nullopt;
}

diag::Diagnostic noRate(const Price& price, const std::string& item, const std::string& currency) {
    diag::Diagnostic d;
    d.code = Code::CurrencyMix;
    d.place = price.place;
    d.message = "the price of `" + item + "` is in " + price.currency + ", the bill in " + currency + ", and no rate between them is stated";
    d.mend = "write `rate 1 " + price.currency + " = ... " + currency + "`";
    return d;
}

std::string_view measureUnit(Measure m) {
    switch (m) {
    case Measure::Length: return "m";
    case Measure::Area: return "m²";
    case Measure::Count: return "";
    }
    return "";
}

std::vector<diag::Diagnostic> judgePrice(const Price& price, const std::string& item, const std::string& date) {
    std::vector<diag::Diagnostic> out;
    const auto tell = [&](Code code, std::string message, std::string mend) {
        diag::Diagnostic d;
        d.code = code;
        d.severity = diag::Severity::Warning;
        d.place = price.place;
        d.message = std::move(message);
        d.mend = std::move(mend);
        out.push_back(std::move(d));
    };
    if (price.on.empty()) tell(Code::PriceUndated, "the price of `" + item + "` has no date", "write the day it was asked for behind it: `on 2026-05-04`");
    if (!date.empty() && !price.until.empty() && price.until < date)
        tell(Code::PriceExpired, "the price of `" + item + "` expired on " + price.until + ", before the job's date " + date,
             "ask again, and write the new price with its dates");
    return out;
}

} // namespace spanwright::shop
