// SPDX-License-Identifier: MIT
// Bench pages: what is needed beside the saw, in large print.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "engine/report/build.h"
#include "engine/report/shop_pages.h"
#include "engine/report/words.h"
#include "engine/units/format.h"

namespace spanwright::report {

namespace {

using Align = Table::Align;
using shop::CutPart;

std::string number(double v, int digits = 3) { return units::showNumber(v, {}, {digits, {}, {}}); }
void paragraph(std::vector<Block>& out, std::string text, Paragraph::Role role = Paragraph::Role::Plain) {
    out.push_back({Paragraph{{plainText(std::move(text))}, role}});
}

std::int64_t unitsOf(double metres) { return std::llround(metres * shop::kUnitsPerMetre); }

class BenchWriter {
public:
    BenchWriter(const JobFacts& f, const shop::Workshop& w, const job::Job& job, Tape tape) : m_facts(f), m_w(w), m_job(job), m_tape(tape) {
        for (const shop::ToolRow& t : w.rows.tools)
            if (t.measure == shop::Measure::Length) m_worn[t.name] = t.used;
    }

    [[nodiscard]] Document make() {
        Document d;
        d.title = (m_facts.cover.title.empty() ? m_facts.file : m_facts.cover.title) + ": bench pages";
        d.fingerprint = m_facts.fingerprint;
        d.identity = d.title + (m_facts.cover.revision.empty() ? "" : ", revision " + m_facts.cover.revision) +
                     (m_facts.cover.date.empty() ? "" : ", " + m_facts.cover.date);
        d.author = m_facts.cover.author;
        d.date = m_facts.cover.date;
        d.largePrint = true;
        d.sections.push_back(front());
        d.sections.push_back(cautions());
        for (const shop::GroupPlan& g : m_w.plan.groups)
            for (const shop::CutBoard& b : g.boards) d.sections.push_back(board(g, b));
        for (const shop::BuiltMember& m : m_w.parts.members) {
            if (auto s = jig(m)) d.sections.push_back(*std::move(s));
            if (auto s = bondLog(m)) d.sections.push_back(*std::move(s));
            if (auto s = lifting(m)) d.sections.push_back(*std::move(s));
        }
        if (!m_w.parts.parts.empty()) d.sections.push_back(labels());
        return d;
    }

private:
    [[nodiscard]] std::string tape(std::int64_t units) const { return tapeText(units, m_tape); }
    [[nodiscard]] std::string tape(double metres) const { return tapeText(unitsOf(metres), m_tape); }
    /// The same where nothing smaller will do: up to the next sixteenth of an inch.
    [[nodiscard]] std::string tapeAtLeast(std::int64_t units) const {
        constexpr double kSixteenth = 0.0254 / 16.0;
        return m_tape == Tape::Inches ? units::showFeetInches(std::ceil(shop::metresOf(units) / kSixteenth - 1e-6) * kSixteenth, 16) : tape(units);
    }
    [[nodiscard]] std::string unitWord() const { return m_tape == Tape::Inches ? "feet and inches to 1/16 in" : "millimetres"; }

    [[nodiscard]] Section front() const {
        Section s;
        s.id = "bench-front";
        s.title = "Bench pages";
        s.blocks.push_back({Paragraph{{strongText(m_facts.cover.title)}}});
        s.blocks.push_back(
            {Paragraph{{plainText("verdict of the calculation "), boxedWord(stampOf(m_facts.verdict)), plainText("  inputs " + m_facts.fingerprint)}}});
        if (auto notice = notOkNotice(m_w)) s.blocks.push_back(std::move(*notice));
        paragraph(s.blocks, "All places are tape readings from end A or from the lower edge, in " + unitWord() +
                                ". Hook the tape once and mark all of them; never add lengths up.");
        paragraph(s.blocks, "Saw beyond the mark: the kerf of " + tape(m_w.rows.saw.kerf) + " lies behind it.");
        paragraph(s.blocks, "The cautions on the next page hold for every part on these pages.");
        if (!m_w.plan.whole) paragraph(s.blocks, "Not every piece is on these pages: see `spanwright cut`.", Paragraph::Role::Remark);
        Table t;
        t.columns = {{"stock", Align::Left, true}, {"off", Align::Right, false}, {"how good the plan is", Align::Left, true}};
        for (const shop::GroupPlan& g : m_w.plan.groups)
            t.rows.push_back({{plainText(shop::titleOf(g))}, {plainText(std::to_string(g.cut))}, {plainText(g.words)}});
        s.blocks.push_back({std::move(t)});
        s.onePage = true;
        return s;
    }

    /// All of them on one page: what holds for everything as a list, then what each sheet says, with the marks that it is said of.
    [[nodiscard]] Section cautions() const {
        Section s;
        s.id = "bench-cautions";
        s.title = "Cautions";
        s.onePage = s.smallPrint = true;
        Bullets list;
        for (const std::string& c : standingCautions()) list.items.push_back({{plainText(c)}, {}});
        s.blocks.push_back({std::move(list)});
        for (const CautionGroup& g : cautionGroups(m_facts)) {
            std::string marks, words;
            for (const std::size_t m : g.members) marks += (marks.empty() ? "" : ", ") + m_facts.members[m].view.mark;
            for (const std::string& c : g.cautions) words += " " + c;
            Inlines line{strongText(marks), plainText(" ")};
            for (Inline& i : symbolsMarked(words)) line.push_back(std::move(i));
            s.blocks.push_back({Paragraph{std::move(line)}});
        }
        return s;
    }

    [[nodiscard]] Section board(const shop::GroupPlan& g, const shop::CutBoard& b) {
        Section s;
        const std::string what = g.panels ? "Panel " : "Board ";
        const shop::StockRow& stock = m_w.rows.stock[b.stock];
        s.id = "bench-" + std::to_string(b.number);
        s.mark = std::to_string(b.number);
        s.title = what + boardNumbers(b);
        s.running = stock.material + " " + shop::sizeOf(stock);
        s.onePage = true;
        Inlines what1{strongText(stock.name), plainText("  " + stock.material + ", " + shop::sizeOf(stock) + (b.onHand ? ", on hand" : ""))};
        if (b.times > 1) {
            what1.push_back(plainText("; "));
            what1.push_back(strongText("cut " + std::to_string(b.times) + " like this"));
        }
        s.blocks.push_back({Paragraph{std::move(what1)}});
        std::set<std::size_t> members;
        for (const shop::CutPiece& p : b.pieces) members.insert(m_w.parts.parts[p.part].member);
        notOk(s, members);
        s.blocks.push_back({Figure{cutDrawing(m_w, g, b, CutLook::Bench), "cuts numbered in their order, parts by letters"}});
        cuts(s, g, b);
        pieces(s, g, b);
        if (!b.offcuts.empty()) {
            std::string keep;
            for (const shop::Box& o : b.offcuts) keep += (keep.empty() ? "" : "; ") + tape(o.width) + " x " + tape(o.height);
            paragraph(s.blocks, "Keep for later: " + keep + (m_tape == Tape::Inches ? "" : " mm"));
        }
        grooves(s, b);
        return s;
    }

    /// Each page is read by itself, so each says it.
    void notOk(Section& s, const std::set<std::size_t>& members) const {
        if (members.empty()) return;
        if (auto notice = notOkNotice(m_w, members)) s.blocks.push_back(std::move(*notice));
    }

    /// The saw's way over the board: places of the tape, in order.
    void cuts(Section& s, const shop::GroupPlan& g, const shop::CutBoard& b) const {
        Table t;
        t.columns = {{"cut", Align::Right, false}, {"how", Align::Left, true}, {"mark at", Align::Right, false}, {"over the part", Align::Right, false}};
        if (b.size.trimX > 0)
            t.rows.push_back({{plainText("0")},
                              {plainText(g.panels ? "trim all edges square" : "trim both ends square")},
                              {strongText(tape(b.size.trimX))},
                              {plainText(g.panels ? "each edge" : "each end")}});
        std::vector<const CutPart*> order;
        for (const CutPart& p : b.tree)
            if (p.kind == CutPart::Kind::Cut) order.push_back(&p);
        std::map<std::int32_t, std::vector<Inlines>> rows;
        for (const CutPart* p : order) {
            const bool rip = !g.panels && !p->upright;
            const std::int64_t from = p->upright ? p->box.y : p->box.x, to = from + (p->upright ? p->box.height : p->box.width);
            rows[p->order] = {{strongText(std::to_string(p->order))},
                              {plainText(rip          ? "rip, from the lower edge"
                                         : p->upright ? "across, from end A"
                                                      : "along, from the lower edge")},
                              {strongText(tape(p->at))},
                              {plainText(tape(from) + " to " + tape(to))}};
        }
        for (const shop::SlantedCut& c : b.slants)
            rows[c.order] = {{strongText(std::to_string(c.order))},
                             {plainText("slanted, along the middle of the kerf; from end A, and up from the lower edge")},
                             {strongText(tape(c.from.x) + ", up " + tape(c.from.y))},
                             {strongText("to " + tape(c.to.x) + ", up " + tape(c.to.y))}};
        for (auto& [n, row] : rows) t.rows.push_back(std::move(row));
        if (t.rows.empty()) return;
        t.caption = "cuts, tape readings in " + unitWord();
        s.blocks.push_back({std::move(t)});
    }

    void pieces(Section& s, const shop::GroupPlan& g, const shop::CutBoard& b) const {
        Table t;
        t.caption = "parts, in " + unitWord() + "; not smaller than: as it leaves the saw, so that the finished size still comes out of it";
        t.columns = {
            {"part", Align::Left, false}, {"from end A", Align::Right, false}, {"from the edge", Align::Right, false}, {"finished", Align::Left, false}};
        bool planed = false;
        std::vector<std::string> smallest;
        const std::vector<std::size_t> order = benchOrder(b);
        for (std::size_t i = 0; i < order.size(); ++i) {
            const shop::CutPiece* p = &b.pieces[order[i]];
            const shop::Part& part = m_w.parts.parts[p->part];
            const job::PieceView& v = part.view;
            planed = planed || part.plane;
            // What must be left after the saw for the piece still to come out: with planing on every face that is planed. A board of
            // the finished breadth is cut to length only.
            smallest.push_back(g.breadth > 0.0 && !part.plane ? tapeAtLeast(part.length) + " long"
                                                              : tapeAtLeast(part.breadth) + " x " + tapeAtLeast(part.length));
            t.rows.push_back({{strongText(benchLetter(i)), plainText("  " + part.label)},
                              {plainText(tape(p->box.x) + " to " + tape(p->box.x + p->box.width))},
                              {plainText(tape(p->box.y) + " to " + tape(p->box.y + p->box.height))},
                              {plainText(tape(v.thickness) + " x " + tape(v.breadth) + (v.breadth == v.breadthEnd ? "" : " / " + tape(v.breadthEnd)) + " x " +
                                         tape(v.length))}});
        }
        t.columns.push_back({"not smaller than", Align::Left, false});
        for (std::size_t r = 0; r < t.rows.size(); ++r) t.rows[r].push_back({strongText(smallest[r])});
        s.blocks.push_back({std::move(t)});
        if (m_tape == Tape::Inches)
            paragraph(s.blocks,
                      "Readings are to the nearest 1/16 in, what a part is not smaller than up to the next: where the two differ, that one counts. Set the saw "
                      "by it.");
        if (planed) paragraph(s.blocks, "From that, " + tape(m_w.rows.saw.plane) + (m_tape == Tape::Inches ? "" : " mm") + " is planed off each face.");
    }

    /// Grooves of the parts on this board: face, depth by depth, and how far the bit has come.
    void grooves(Section& s, const shop::CutBoard& b) {
        Table t;
        t.columns = {{"part", Align::Left, false}, {"groove", Align::Left, true}, {"length", Align::Right, false}, {"depths of the passes", Align::Left, true}};
        std::map<std::string, double> sums;
        for (const shop::CutPiece& p : b.pieces) {
            const shop::Part& part = m_w.parts.parts[p.part];
            for (const auto& o : part.view.operations) {
                if (o.measure != shop::Measure::Length) continue;
                const auto tool = std::find_if(m_w.rows.tools.begin(), m_w.rows.tools.end(),
                                               [&](const shop::ToolRow& r) { return r.operation == o.name && r.measure == o.measure; });
                if (tool == m_w.rows.tools.end()) continue;
                sums[tool->name] += o.amount;
                t.rows.push_back({{strongText(part.label)},
                                  {plainText(o.name + (part.view.what.empty() ? "" : ": " + part.view.what))},
                                  {plainText(tape(o.amount))},
                                  {plainText(passes(part.view, *tool))}});
            }
        }
        if (t.rows.empty()) return;
        s.blocks.push_back({std::move(t)});
        for (const auto& [name, sum] : sums) {
            const auto tool = std::find_if(m_w.rows.tools.begin(), m_w.rows.tools.end(), [&name = name](const shop::ToolRow& r) { return r.name == name; });
            const double before = m_worn[name], after = before + sum * static_cast<double>(b.times);
            const double bits = std::floor(after / tool->life);
            m_worn[name] = after - bits * tool->life;
            std::string words =
                name + ": " + number(before, 4) + " m so far, " + number(after, 4) + " m after this, of a life of " + number(tool->life, 4) + " m";
            if (bits > 0.0) words += ". Change it here: the new one then has " + number(m_worn[name], 4) + " m";
            paragraph(s.blocks, words, Paragraph::Role::Note);
        }
    }

    [[nodiscard]] std::string passes(const job::PieceView& v, const shop::ToolRow& tool) const {
        if (!v.deep) return "depth not stated by the sheet";
        if (!tool.pass) return tape(*v.deep) + ", pass of the tool not stated";
        const double n = std::max(1.0, std::ceil(*v.deep / *tool.pass - 1e-9));
        std::string out;
        for (double i = 1.0; i <= n; i += 1.0) out += (out.empty() ? "" : ", ") + tape(*v.deep * i / n);
        return out;
    }

    /// A table to set a jig by, for a member whose depth varies: its sheet plots it and calls the plot `depth`.
    [[nodiscard]] std::optional<Section> jig(const shop::BuiltMember& m) const {
        const meaning::Sheet& sheet = m_job.sheet(m.index);
        const auto q = std::find_if(sheet.quantities.begin(), sheet.quantities.end(),
                                    [](const meaning::Quantity& o) { return o.kind == meaning::Kind::Plot && o.what == "depth"; });
        if (q == sheet.quantities.end() || !m.cut) return std::nullopt;
        constexpr int kSamples = 1201;
        const auto plot = m_job.plot(m.index, q->id, kSamples);
        if (!plot || plot->x.size() < 2 || plot->curves.size() != 1) return std::nullopt;
        const auto unit = [](const std::string& text) { return units::readUnit(text); };
        const auto xUnit = unit(plot->xUnit), yUnit = unit(plot->yUnit);
        if (!xUnit || !yUnit) return std::nullopt;
        std::vector<double> x, y;
        for (std::size_t i = 0; i < plot->x.size(); ++i) {
            if (!std::isfinite(plot->curves[0].y[i])) return std::nullopt;
            x.push_back(units::toSi(plot->x[i], xUnit.value()));
            y.push_back(units::toSi(plot->curves[0].y[i], yUnit.value()));
        }
        double camber = 0.0;
        if (const meaning::Quantity* c = sheet.find("w_c"); c != nullptr && m_job.value(m.index, c->id).known()) camber = m_job.value(m.index, c->id).one;
        const double length = x.back() - x.front();
        const auto ridge = static_cast<std::size_t>(std::max_element(y.begin(), y.end()) - y.begin());
        // Whole steps of the tape, the end, and the ridge; between two samples the depth is straight.
        constexpr double kStep = 0.6;
        std::vector<double> stations;
        for (double at = 0.0; at < length - kStep / 4.0; at += kStep) stations.push_back(at);
        stations.push_back(length);
        const double top = x[ridge] - x.front();
        if (std::none_of(stations.begin(), stations.end(), [&](double at) { return std::fabs(at - top) < 1e-3; })) stations.push_back(top);
        std::sort(stations.begin(), stations.end());
        const auto depthAt = [&](double at) {
            const auto next = std::lower_bound(x.begin(), x.end(), x.front() + at - 1e-9);
            const auto i = static_cast<std::size_t>(next - x.begin());
            if (i == 0 || i >= x.size()) return i == 0 ? y.front() : y.back();
            return y[i - 1] + (y[i] - y[i - 1]) * (x.front() + at - x[i - 1]) / (x[i] - x[i - 1]);
        };
        Section s;
        s.id = "bench-jig-" + std::to_string(m.index);
        s.mark = m.mark;
        s.title = "Jig table for " + m.mark;
        s.onePage = true;
        notOk(s, {m.index});
        paragraph(s.blocks, "Snap a straight line on the floor for the bottom edge. Ordinates stand square to it; a diagonal is from the lower corner at end A "
                            "to the top at that place, and proves the right angle. The camber is added to both edges.");
        Table t;
        t.caption = "in " + unitWord();
        t.columns = {{"place from end A", Align::Right, false},
                     {"depth over all", Align::Right, false},
                     {"diagonal", Align::Right, false},
                     {"camber up", Align::Right, false},
                     {"", Align::Left, false}};
        for (const double at : stations) {
            const double bow = length > 0.0 ? 4.0 * camber * at / length * (1.0 - at / length) : 0.0;
            const double depth = depthAt(at);
            t.rows.push_back({{strongText(tape(at))},
                              {plainText(tape(depth))},
                              {plainText(tape(std::hypot(at, depth)))},
                              {plainText(tape(bow))},
                              {plainText(std::fabs(at - top) < 1e-3 ? "ridge" : "")}});
        }
        s.blocks.push_back({std::move(t)});
        return s;
    }

    /// One line for each beam that is glued, to be filled in.
    [[nodiscard]] std::optional<Section> bondLog(const shop::BuiltMember& m) const {
        const bool glued = std::any_of(m_w.parts.parts.begin(), m_w.parts.parts.end(), [&](const shop::Part& p) {
            return p.member == m.index && std::any_of(p.view.operations.begin(), p.view.operations.end(), [](const auto& o) { return o.name == "glue"; });
        });
        if (!glued) return std::nullopt;
        Section s;
        s.id = "bench-bond-" + std::to_string(m.index);
        s.mark = m.mark;
        s.title = "Bond log of " + m.mark;
        notOk(s, {m.index});
        paragraph(s.blocks, "Filled in at the bench for each beam. Without it the glue is not proven, whatever the calculation says.");
        // Beams side by side, so that there is room to write.
        constexpr std::int64_t kBeside = 5, kMost = 40;
        const std::int64_t shown = std::min(m.count, kMost);
        for (std::int64_t first = 1; first <= shown; first += kBeside) {
            Table t;
            t.boxed = true;
            t.columns.push_back({"of beam", Align::Left, true});
            for (std::int64_t n = first; n < first + kBeside && n <= shown; ++n) t.columns.push_back({m.mark + "/" + std::to_string(n), Align::Left, true});
            for (const char* line : {"date, by whom", "glue: kind, batch, open since", "air, °C and % humidity", "timber, % moisture", "panel, % moisture",
                                     "widest gap, mm", "spread at; pressed at", "pressed by", "released at", "test piece: batch, result"}) {
                std::vector<Inlines> row(t.columns.size());
                row.front() = {plainText(line)};
                t.rows.push_back(std::move(row));
            }
            s.blocks.push_back({std::move(t)});
        }
        if (m.count > kMost) paragraph(s.blocks, "Copy this page for the other " + std::to_string(m.count - kMost) + ".");
        return s;
    }

    /// For every part one, to be cut out and stuck on it.
    [[nodiscard]] Section labels() const {
        Section s = labelSection(m_w);
        s.id = "bench-labels";
        return s;
    }

    [[nodiscard]] std::optional<Section> lifting(const shop::BuiltMember& m) const {
        const auto weight =
            std::find_if(m_w.weights.members.begin(), m_w.weights.members.end(), [&](const shop::MemberWeight& o) { return o.index == m.index; });
        if (weight == m_w.weights.members.end() || !m.named || (!m.cut && m.whole)) return std::nullopt;
        Section s;
        s.id = "bench-lift-" + std::to_string(m.index);
        s.mark = m.mark;
        s.title = "Lifting and setting " + m.mark;
        s.onePage = true;
        s.blocks.push_back({Paragraph{{plainText(m.purpose.empty() ? m.sheetTitle : m.purpose)}}});
        notOk(s, {m.index});
        Table t;
        t.ruled = false;
        t.columns = {{"", Align::Left, false}, {"", Align::Left, true}};
        const auto pair = [&](const char* label, std::string value) { t.rows.push_back({{faintText(label)}, {strongText(std::move(value))}}); };
        pair("one weighs", weight->known ? shop::kilograms(weight->mass) : "not known: weigh it before it is lifted");
        pair("lifted by", weight->known ? shop::adviseLift(weight->mass, m_w.rows.liftOfOne).words : "not known");
        if (weight->centre) {
            const std::string unit = m_tape == Tape::Inches ? "" : " mm";
            pair("centre of mass from end A", tape(*weight->centre) + unit);
            const auto [a, b] = slingsOf(m.length, *weight->centre);
            pair("slings from end A", tape(a) + unit + " and " + tape(b) + unit + ", the same on both sides of the centre of mass");
        } else {
            pair("centre of mass", "not known: find it by balancing before it is lifted");
        }
        s.blocks.push_back({std::move(t)});
        if (weight->centre && m.length > 0.0)
            s.blocks.push_back({Figure{liftDrawing(m.mark, m.length, *weight->centre, m_tape), "how it hangs; places from end A, in " + unitWord()}});
        const bool built = std::any_of(m_w.parts.parts.begin(), m_w.parts.parts.end(), [&](const shop::Part& p) {
            return p.member == m.index && std::any_of(p.view.operations.begin(), p.view.operations.end(), [](const auto& o) { return o.name == "glue"; });
        });
        Bullets list;
        for (const char* line :
             {"Write A and B on the ends and an arrow up on its side before it leaves the bench: end A is where the tape was hooked.",
              "Lift it on edge, arrow up, never flat; two slings, none around a loose part.",
              "Set it, fasten its ends against tipping, and brace it before the next one is lifted. Nothing is stacked on it and nobody "
              "stands on it until then.",
              built ? "Nothing is cut, notched or drilled: no flange anywhere along it, no hole in a web, no joint moved, no stiffener left out."
                    : "Nothing is cut, notched or drilled anywhere along it but where its drawing shows it: see the cautions of its sheet."})
            list.items.push_back({{plainText(line)}, {}});
        const auto facts = std::find_if(m_facts.members.begin(), m_facts.members.end(), [&](const MemberFacts& o) { return o.view.mark == m.mark; });
        if (facts != m_facts.members.end())
            for (const std::string& c : facts->cautions) list.items.push_back({symbolsMarked(c), {}});
        s.blocks.push_back({std::move(list)});
        paragraph(s.blocks, std::string("Who lifts: ") + shop::LiftAdvice::source() + ".", Paragraph::Role::Note);
        return s;
    }

    const JobFacts& m_facts;
    const shop::Workshop& m_w;
    const job::Job& m_job;
    Tape m_tape;
    std::map<std::string, double> m_worn; ///< metres by tool, so far
};

} // namespace

Document benchDocument(const JobFacts& f, const shop::Workshop& w, const job::Job& job, Tape tape) { return BenchWriter(f, w, job, tape).make(); }

} // namespace spanwright::report
