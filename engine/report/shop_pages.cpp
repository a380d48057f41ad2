// SPDX-License-Identifier: MIT
// What to buy, how to cut it, what it weighs and costs.
#include "engine/report/shop_pages.h"

#include <algorithm>
#include <map>

#include "engine/report/build.h"
#include "engine/report/words.h"
#include "engine/units/format.h"

namespace spanwright::report {

namespace {

using shop::BillLine;
using Align = Table::Align;

std::string number(double v, int digits = 3) { return units::showNumber(v, {}, {digits, {}, {}}); }
std::string whole(std::int64_t n) { return std::to_string(n); }

void paragraph(std::vector<Block>& out, std::string text, Paragraph::Role role = Paragraph::Role::Plain) {
    out.push_back({Paragraph{{plainText(std::move(text))}, role}});
}
void heading(std::vector<Block>& out, std::string text, std::string id = {}) { out.push_back({Heading{3, {plainText(std::move(text))}, std::move(id)}}); }

/// The parts of a board with how many of each: "J1 joist x 2, K1 joist".
std::string contents(const shop::Workshop& w, const shop::CutBoard& b) {
    std::vector<std::pair<std::size_t, int>> list;
    for (const shop::CutPiece& p : b.pieces) {
        const auto same = std::find_if(list.begin(), list.end(), [&](const auto& e) { return e.first == p.part; });
        if (same == list.end())
            list.emplace_back(p.part, 1);
        else
            ++same->second;
    }
    std::string out;
    for (const auto& [part, n] : list) {
        const shop::Part& p = w.parts.parts[part];
        out += (out.empty() ? "" : "; ") + (n > 1 ? whole(n) + " x " : std::string()) + p.label + " " + shop::millimetres(p.view.length) +
               (w.rows.stock[b.stock].panel || p.rip
                    ? " x " + shop::millimetres(p.view.breadth) + (p.view.breadth == p.view.breadthEnd ? "" : "/" + shop::millimetres(p.view.breadthEnd))
                    : "");
    }
    return out;
}

std::string offcutsOf(const shop::CutBoard& b) {
    std::string out;
    for (const shop::Box& o : b.offcuts)
        out += (out.empty() ? "" : "; ") + shop::millimetres(shop::metresOf(o.width)) + " x " + shop::millimetres(shop::metresOf(o.height)) + " mm";
    return out;
}

/// `said`: that the total is not proven stands above.
void reasonsNotProven(std::vector<Block>& out, const shop::Bill& bill, bool said) {
    if (bill.proven) return;
    if (!said) out.push_back({Paragraph{{plainText("The total is "), boxedWord(Stamp::NotProven), plainText(":")}}});
    Bullets list;
    for (const std::string& r : bill.reasons) list.items.push_back({namesMarked(r), {}});
    out.push_back({std::move(list)});
}

void notCounted(std::vector<Block>& out, const shop::Bill& bill) {
    if (bill.notCounted.empty()) return;
    heading(out, "not in the total");
    Bullets list;
    for (const std::string& n : bill.notCounted) list.items.push_back({{plainText(n)}, {}});
    out.push_back({std::move(list)});
}

std::string money(const shop::Workshop& w, shop::Cents c) { return shop::showMoney(c, w.bill.currency); }
/// "192.00 EUR", "192.00 EUR (182.40 to 201.60 EUR)".
std::string withRange(const shop::Workshop& w, shop::Cents stated, shop::Cents low, shop::Cents high) {
    return shop::showMoney(stated, low, high, w.bill.currency);
}
/// Without the currency, where the head of the table names it.
std::string bare(const shop::Workshop& w, shop::Cents c) {
    const std::string all = money(w, c);
    return all.substr(0, all.find(' '));
}

} // namespace

std::string tapeText(std::int64_t units, Tape tape) {
    const double metres = shop::metresOf(units);
    return tape == Tape::Inches ? units::showFeetInches(metres, 16) : shop::millimetres(metres);
}

Section buySection(const shop::Workshop& w, bool costFollows) {
    Section s;
    s.id = "shop-buy";
    s.title = "What to buy";
    Table t;
    t.columns = {{"stock", Align::Left, false}, {"what", Align::Left, true},           {"planned", Align::Right, false}, {"spare", Align::Right, false},
                 {"buy", Align::Right, false},  {"from on hand", Align::Right, false}, {"price", Align::Left, false},    {"amount", Align::Right, false}};
    std::map<std::size_t, shop::StockUse> all;
    for (const shop::GroupPlan& g : w.plan.groups)
        for (const shop::StockUse& u : g.use) {
            shop::StockUse& sum = all[u.stock];
            sum.onHand += u.onHand;
            sum.planned += u.planned;
            sum.spare += u.spare;
        }
    for (const auto& [stock, u] : all) {
        const shop::StockRow& row = w.rows.stock[stock];
        const auto line =
            std::find_if(w.bill.lines.begin(), w.bill.lines.end(), [&](const BillLine& l) { return l.sort == BillLine::Sort::Material && l.item == row.name; });
        t.rows.push_back({{codeText(row.name)},
                          {plainText(row.material + " " + shop::sizeOf(row) + (row.panel ? ", panel" : ""))},
                          {plainText(whole(u.planned))},
                          {plainText(whole(u.spare))},
                          {strongText(whole(u.planned + u.spare))},
                          {plainText(whole(u.onHand))},
                          {plainText(row.price.stated() ? row.price.text : "-")},
                          {plainText(line == w.bill.lines.end() ? "-" : withRange(w, line->cents, line->low, line->high))}});
    }
    if (t.rows.empty())
        paragraph(s.blocks, "Nothing is planned, so nothing can be said of what to buy.");
    else
        s.blocks.push_back({std::move(t)});
    Table c;
    c.caption = "glue, fasteners and the like";
    c.columns = {{"item", Align::Left, false}, {"what", Align::Left, true}, {"amount", Align::Right, false}};
    for (const BillLine& l : w.bill.lines)
        if (l.sort == BillLine::Sort::Consumable)
            c.rows.push_back({{codeText(l.item)}, {plainText(l.what)}, {plainText(withRange(w, l.cents, l.low, l.high))}});
    if (!c.rows.empty()) s.blocks.push_back({std::move(c)});
    if (w.bill.currency.empty()) return s;
    // Why is told once, where the total stands.
    if (!costFollows)
        reasonsNotProven(s.blocks, w.bill, false);
    else if (!w.bill.proven)
        s.blocks.push_back(
            {Paragraph{{plainText("The total is "), boxedWord(Stamp::NotProven), plainText("; why stands under "), linkTo("shop-cost", "Cost")}}});
    return s;
}

Section planSection(const shop::Workshop& w) {
    Section s;
    s.id = "shop-plan";
    s.title = "Cutting plan";
    paragraph(s.blocks, "Kerf " + shop::millimetres(w.rows.saw.kerf) + " mm" +
                            (w.rows.saw.crossKerf != w.rows.saw.kerf ? ", of cuts to length " + shop::millimetres(w.rows.saw.crossKerf) + " mm" : "") +
                            "; trimmed off each end " + shop::millimetres(w.rows.saw.trim) + " mm" +
                            (w.rows.saw.stated   ? ""
                             : w.rows.saw.unread ? "; assumed, because the job's saw could not be read"
                                                 : "; assumed, because the job states no saw") +
                            ". Places are measured from end A of the stock as bought; numbers are the order of the cuts; hatched is waste. Every plan has been "
                            "checked piece by piece.");
    // What the plan does not hold is said before what it does.
    Bullets left;
    for (const std::string& l : w.parts.leftOut) left.items.push_back({{plainText(l)}, {}});
    if (!left.items.empty()) {
        heading(s.blocks, "not planned");
        s.blocks.push_back({std::move(left)});
    }
    for (const shop::GroupPlan& g : w.plan.groups) {
        heading(s.blocks, shop::titleOf(g));
        s.blocks.push_back({Paragraph{{plainText(g.words + (g.how.empty() ? "" : " (" + g.how + ")"))}}});
        for (const shop::CutBoard& b : g.boards) {
            std::string caption = std::string(g.panels ? "panel " : "board ") + boardNumbers(b) + (b.times > 1 ? " (" + whole(b.times) + " alike)" : "") +
                                  ", " + w.rows.stock[b.stock].name + " " + shop::sizeOf(w.rows.stock[b.stock]) + (b.onHand ? ", on hand" : "") + ": " +
                                  contents(w, b);
            if (!b.offcuts.empty()) caption += "; keep " + offcutsOf(b);
            paragraph(s.blocks, std::move(caption));
            s.blocks.push_back({Figure{cutDrawing(w, g, b), {}}});
        }
    }
    if (w.plan.groups.empty()) paragraph(s.blocks, "There is nothing to cut.");
    return s;
}

Section cutListSection(const shop::Workshop& w) {
    Section s;
    s.id = "shop-list";
    s.title = "Cut list";
    Table t;
    t.columns = {{"part", Align::Left, false},    {"what", Align::Left, true},       {"count", Align::Right, false}, {"size, mm", Align::Left, false},
                 {"material", Align::Left, true}, {"each, kg", Align::Right, false}, {"from", Align::Left, true}};
    std::map<std::size_t, std::vector<std::string>> where;
    for (const shop::GroupPlan& g : w.plan.groups)
        for (const shop::CutBoard& b : g.boards)
            for (const shop::CutPiece& p : b.pieces) {
                auto& list = where[p.part];
                const std::string n = boardNumbers(b);
                if (list.empty() || list.back() != n) list.push_back(n);
            }
    for (std::size_t i = 0; i < w.parts.parts.size(); ++i) {
        const shop::Part& p = w.parts.parts[i];
        std::string from;
        for (const std::string& n : where[i]) from += (from.empty() ? "" : ", ") + n;
        const auto& mass = w.weights.parts[i].mass;
        t.rows.push_back({{strongText(p.label)},
                          {plainText(p.view.what)},
                          {plainText(whole(p.count))},
                          {plainText(shop::sizeOf(p.view))},
                          {plainText(p.view.material)},
                          {plainText(mass ? number(*mass) : "not known")},
                          {plainText(from.empty() ? "no stock" : from)}});
    }
    if (t.rows.empty())
        paragraph(s.blocks, "No member has a piece.");
    else
        s.blocks.push_back({std::move(t)});
    return s;
}

Section labelSection(const shop::Workshop& w) {
    Section s;
    s.id = "shop-labels";
    s.title = "Labels for parts";
    constexpr std::size_t kColumns = 3;
    constexpr std::int64_t kMostLabels = 600;
    Table t;
    t.caption = "to be cut out and stuck on";
    t.ruled = false;
    t.boxed = true;
    for (std::size_t c = 0; c < kColumns; ++c) t.columns.push_back({"", Align::Left, true});
    std::vector<Inlines> row;
    std::int64_t made = 0, all = 0;
    for (const shop::Part& p : w.parts.parts) all += p.count;
    for (const shop::Part& p : w.parts.parts)
        for (std::int64_t n = 1; n <= p.count && made < kMostLabels; ++n, ++made) {
            row.push_back({strongText(p.label), plainText(" " + whole(n) + "/" + whole(p.count) + " "), faintText(shop::sizeOf(p.view))});
            if (row.size() < kColumns) continue;
            t.rows.push_back(std::move(row));
            row.clear();
        }
    if (!row.empty()) {
        row.resize(kColumns);
        t.rows.push_back(std::move(row));
    }
    s.blocks.push_back({std::move(t)});
    if (all > made) paragraph(s.blocks, "The first " + whole(made) + " of " + whole(all) + " labels; the cut list as CSV has them all.");
    return s;
}

Section massSection(const shop::Workshop& w) {
    Section s;
    s.id = "shop-mass";
    s.title = "Mass and lifting";
    Table t;
    t.columns = {{"member", Align::Left, false},
                 {"off", Align::Right, false},
                 {"one weighs", Align::Right, false},
                 {"of that glue and fasteners", Align::Right, false},
                 {"centre of mass from end A", Align::Right, false},
                 {"lifted by", Align::Left, true}};
    for (const shop::MemberWeight& m : w.weights.members) {
        if (m.mass <= 0.0 && !m.known) continue;
        t.rows.push_back({{strongText(m.mark)},
                          {plainText(whole(m.count))},
                          {plainText(m.known ? shop::kilograms(m.mass) : "more than " + shop::kilograms(m.mass))},
                          {plainText(shop::kilograms(m.fastened))},
                          {plainText(m.centre ? number(*m.centre) + " m" : "not known")},
                          {plainText(m.known ? shop::adviseLift(m.mass, w.rows.liftOfOne).words : "not known")}});
    }
    if (t.rows.empty()) {
        paragraph(s.blocks, "Nothing is known of what the members weigh.");
        return s;
    }
    s.blocks.push_back({std::move(t)});
    paragraph(s.blocks, "All members together: " + std::string(w.weights.known ? "" : "more than ") + shop::kilograms(w.weights.mass) + ".");
    if (w.weights.heaviest) {
        const shop::MemberWeight& h = w.weights.members[*w.weights.heaviest];
        s.blocks.push_back({Paragraph{
            {plainText("Heaviest single lift: "), strongText(h.mark), plainText(", " + shop::kilograms(h.mass) + ": " + w.weights.lift.words + ".")}}});
    }
    paragraph(s.blocks, std::string("Who lifts: ") + shop::LiftAdvice::source() + ".", Paragraph::Role::Note);
    for (const std::string& a : w.weights.assumed) paragraph(s.blocks, "Assumed: " + a + ".", Paragraph::Role::Note);
    return s;
}

namespace {

/// What the members cost with all prices at the low and at the high end of their ranges.
Table memberRanges(const shop::Workshop& w) {
    const shop::Bill& b = w.bill;
    Table t;
    t.caption = "members from the lowest to the highest prices, in " + b.currency;
    t.columns = {{"member", Align::Left, false},
                 {"off", Align::Right, false},
                 {"all as stated", Align::Right, false},
                 {"from", Align::Right, false},
                 {"to", Align::Right, false},
                 {"each from", Align::Right, false},
                 {"each to", Align::Right, false},
                 {"by the metre from", Align::Right, false},
                 {"by the metre to", Align::Right, false}};
    for (const shop::MemberCost& c : b.members) {
        if (c.high == 0) continue;
        const auto divided = [&](shop::Cents cents, double by) { return bare(w, shop::toCents(shop::fromCents(cents, b.currency) / by, b.currency)); };
        const double count = static_cast<double>(c.count);
        std::vector<Inlines> row{{strongText(c.mark)}, {plainText(whole(c.count))}};
        for (const shop::Cents cents : {c.cents, c.low, c.high}) row.push_back({plainText(bare(w, cents))});
        for (const shop::Cents cents : {c.low, c.high}) row.push_back({plainText(divided(cents, count))});
        for (const shop::Cents cents : {c.low, c.high}) row.push_back({plainText(c.length > 0.0 ? divided(cents, count * c.length) : "-")});
        t.rows.push_back(std::move(row));
    }
    std::vector<Inlines> sum{{strongText("all")}, {}};
    for (const shop::Cents cents : {b.total, b.low, b.high}) sum.push_back({strongText(bare(w, cents))});
    sum.resize(t.columns.size());
    t.rows.push_back(std::move(sum));
    return t;
}

} // namespace

Section costSection(const shop::Workshop& w) {
    Section s;
    s.id = "shop-cost";
    s.title = "Cost";
    const shop::Bill& b = w.bill;
    if (b.currency.empty()) {
        paragraph(s.blocks, w.rows.unread.any ? "No price of the job could be read, so nothing is priced." : "The job states no prices.");
        reasonsNotProven(s.blocks, b, false);
        return s;
    }
    s.blocks.push_back({Paragraph{{plainText("Total "), strongText(money(w, b.total)),
                                   plainText(b.ranged ? ", from " + shop::showRange(b.low, b.high, b.currency) + "  " : "  "),
                                   b.proven ? plainText("every price is dated and holds on the job's date") : boxedWord(Stamp::NotProven)}}});
    reasonsNotProven(s.blocks, b, true);
    Table t;
    t.caption = "the bill";
    t.columns = {{"", Align::Left, false}, {"item", Align::Left, false}, {"what", Align::Left, true}, {"amount", Align::Right, false}};
    if (b.ranged) {
        t.columns.push_back({"from", Align::Right, false});
        t.columns.push_back({"to", Align::Right, false});
    }
    const auto ends = [&](std::vector<Inlines>& row, shop::Cents low, shop::Cents high) {
        if (!b.ranged) return;
        row.push_back({plainText(bare(w, low))});
        row.push_back({plainText(bare(w, high))});
    };
    BillLine::Sort last = BillLine::Sort::Overhead;
    for (const BillLine& l : b.lines) {
        std::vector<Inlines> row{{faintText(t.rows.empty() || l.sort != last ? std::string(shop::sortText(l.sort)) : "")},
                                 {codeText(l.item)},
                                 {plainText(l.what)},
                                 {plainText(money(w, l.cents))}};
        ends(row, l.low, l.high);
        t.rows.push_back(std::move(row));
        last = l.sort;
    }
    std::vector<Inlines> total{{strongText("total")}, {}, {}, {strongText(money(w, b.total))}};
    ends(total, b.low, b.high);
    t.rows.push_back(std::move(total));
    s.blocks.push_back({std::move(t)});
    Table m;
    m.caption = "shares of the members, in " + b.currency;
    m.columns = {{"member", Align::Left, false},        {"off", Align::Right, false},          {"material", Align::Right, false},
                 {"of that rest", Align::Right, false}, {"consumables", Align::Right, false},  {"tools", Align::Right, false},
                 {"labour", Align::Right, false},       {"overhead", Align::Right, false},     {"all", Align::Right, false},
                 {"each", Align::Right, false},         {"by the metre", Align::Right, false}, {"hours", Align::Right, false}};
    shop::Cents sums[6] = {};
    for (const shop::MemberCost& c : b.members) {
        if (c.cents == 0 && c.hours == 0.0) continue;
        const shop::Cents parts[] = {c.material, c.rest, c.consumables, c.tools, c.labour, c.overhead};
        std::vector<Inlines> row{{strongText(c.mark)}, {plainText(whole(c.count))}};
        for (std::size_t i = 0; i < 6; ++i) {
            sums[i] += parts[i];
            row.push_back({plainText(bare(w, parts[i]))});
        }
        row.push_back({strongText(bare(w, c.cents))});
        row.push_back({plainText(bare(w, shop::toCents(shop::fromCents(c.cents, b.currency) / static_cast<double>(c.count), b.currency)))});
        row.push_back({plainText(c.perMetre ? bare(w, shop::toCents(*c.perMetre, b.currency)) : "-")});
        row.push_back({plainText(number(c.hours))});
        m.rows.push_back(std::move(row));
    }
    std::vector<Inlines> sum{{strongText("all")}, {}};
    for (const shop::Cents c : sums) sum.push_back({plainText(bare(w, c))});
    sum.push_back({strongText(bare(w, b.total))});
    sum.push_back({});
    sum.push_back({});
    sum.push_back({plainText(number(b.hours))});
    m.rows.push_back(std::move(sum));
    s.blocks.push_back({std::move(m)});
    if (b.ranged) s.blocks.push_back({memberRanges(w)});
    if (!b.wasteWorking.formula.empty())
        paragraph(s.blocks, "Offcuts and waste: " + b.wasteWorking.result + " of the area bought, " + money(w, b.rest) + " of the material (" +
                                b.wasteWorking.formula + ": " + b.wasteWorking.putIn + ").");
    if (b.ranged) paragraph(s.blocks, std::string("From and to: ") + shop::Bill::rangeRule() + ".", Paragraph::Role::Note);
    paragraph(s.blocks, std::string("Rounding: ") + shop::Bill::roundingRule() + ".", Paragraph::Role::Note);
    notCounted(s.blocks, b);
    return s;
}

std::vector<Section> shopSections(const shop::Workshop& w) {
    std::vector<Section> out{buySection(w, true), planSection(w), cutListSection(w), labelSection(w), massSection(w), costSection(w)};
    for (Section& s : out) s.running = "for the workshop";
    return out;
}

namespace {

Document headed(const JobFacts& f) {
    Document d;
    d.title = f.cover.title.empty() ? f.file : f.cover.title;
    d.fingerprint = f.fingerprint;
    d.identity = d.title + (f.cover.revision.empty() ? "" : ", revision " + f.cover.revision) + (f.cover.date.empty() ? "" : ", " + f.cover.date);
    return d;
}

Section head(const JobFacts& f, const shop::Workshop& w, const std::string& what) {
    Section s;
    s.id = "shop-head";
    s.title = (f.cover.title.empty() ? f.file : f.cover.title) + ": " + what;
    s.blocks.push_back({Paragraph{{plainText("verdict of the calculation "), boxedWord(stampOf(f.verdict)), plainText("  inputs " + f.fingerprint)}}});
    for (const std::string& o : f.overrides) s.blocks.push_back({Paragraph{{plainText("only this time, not in the file: "), codeText(o)}}});
    if (auto notice = notOkNotice(w)) s.blocks.push_back(std::move(*notice));
    return s;
}

/// Tables of workings: the formula, the same with the values put in, the result.
void workings(Section& s, const shop::Workshop& w) {
    heading(s.blocks, "workings");
    Table t;
    t.columns = {{"number", Align::Left, false}, {"formula", Align::Left, true}, {"values put in", Align::Left, true}, {"result", Align::Right, false}};
    const auto add = [&](const std::string& name, const shop::Working& x) {
        if (!x.formula.empty()) t.rows.push_back({{codeText(name)}, {plainText(x.formula)}, {plainText(x.putIn)}, {plainText(x.result)}});
    };
    for (const BillLine& l : w.bill.lines) add(l.item, l.working);
    add("total", w.bill.working);
    add("waste", w.bill.wasteWorking);
    for (const shop::MemberCost& c : w.bill.members) {
        if (c.cents == 0) continue;
        add(c.mark, c.working);
        add(c.mark + ", each", c.eachWorking);
        add(c.mark + ", by the metre", c.perMetreWorking);
    }
    s.blocks.push_back({std::move(t)});
    Table shares;
    shares.caption = "shares";
    shares.columns = {{"line", Align::Left, false}, {"shared by", Align::Left, true}, {"shares", Align::Left, true}};
    for (const BillLine& l : w.bill.lines) {
        std::string list;
        for (std::size_t i = 0; i < l.shares.size(); ++i)
            if (l.shares[i] != 0) list += (list.empty() ? "" : "; ") + w.bill.members[i].mark + " " + money(w, l.shares[i]);
        shares.rows.push_back({{codeText(l.item)}, {plainText(l.sharedBy)}, {plainText(list)}});
    }
    s.blocks.push_back({std::move(shares)});
    Table mass;
    mass.caption = "masses";
    mass.columns = {{"part", Align::Left, false}, {"values put in", Align::Left, true}, {"one weighs", Align::Right, false}};
    for (const shop::PartWeight& p : w.weights.parts)
        mass.rows.push_back({{codeText(w.parts.parts[p.part].label)}, {plainText(p.working.putIn)}, {plainText(p.working.result)}});
    s.blocks.push_back({std::move(mass)});
}

} // namespace

std::optional<Block> notOkNotice(const shop::Workshop& w, const std::set<std::size_t>& members) {
    Inlines words;
    std::size_t found = 0;
    for (const shop::BuiltMember& m : w.parts.members) {
        const bool asked = members.empty() || members.count(m.index) > 0;
        if (!asked || !m.cut || m.verdict == job::Verdict::Ok) continue;
        words.push_back(plainText((found++ == 0 ? "" : ", ") + m.mark + " "));
        words.push_back(boxedWord(stampOf(m.verdict)));
    }
    if (found == 0) return std::nullopt;
    words.push_back(
        plainText(std::string(": nothing is to be bought, cut, glued or set for ") + (found == 1 ? "it before it is" : "them before they are") + " OK."));
    return Block{Paragraph{std::move(words)}};
}

Document cutDocument(const JobFacts& f, const shop::Workshop& w) {
    Document d = headed(f);
    d.sections.push_back(head(f, w, "cutting plan"));
    for (Section s : {buySection(w, false), planSection(w), cutListSection(w), massSection(w)}) d.sections.push_back(std::move(s));
    return d;
}

Document priceDocument(const JobFacts& f, const shop::Workshop& w, bool withWorkings) {
    Document d = headed(f);
    Section top = head(f, w, "cost");
    if (!w.rows.priceFile.empty())
        top.blocks.push_back({Paragraph{{plainText("prices of " + w.rows.priceFile + ", judged on " + (w.rows.date.empty() ? "no date" : w.rows.date))}}});
    d.sections.push_back(std::move(top));
    d.sections.push_back(buySection(w, true));
    Section cost = costSection(w);
    if (withWorkings) workings(cost, w);
    d.sections.push_back(std::move(cost));
    return d;
}

} // namespace spanwright::report
