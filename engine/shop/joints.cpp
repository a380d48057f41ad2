// SPDX-License-Identifier: MIT
// Web panels and flange pieces from stock lengths, so that the sheet's own rules on joints hold with the least waste.
#include "engine/shop/joints.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

#include "engine/base/text.h"
#include "engine/shop/joint_places.h"
#include "engine/shop/joint_words.h"
#include "engine/units/format.h"

namespace spanwright::shop {

namespace {

using meaning::Kind;
using meaning::QuantityId;

constexpr std::size_t kMostTried = 48;    // sets that are calculated of many
constexpr std::size_t kMostWhole = 160;   // so many are all calculated
constexpr std::size_t kMostPairs = 1'500; // of flanges that are matched with webs

class Proposer {
public:
    Proposer(job::Job& job, std::size_t member, const Effort& effort)
        : m_job(job), m_member(member), m_sheet(job.sheet(member)), m_mark(job.member(member).mark), m_rows(readShopRows(job)), m_effort(effort) {}

    [[nodiscard]] base::Result<JointProposal, diag::Diagnostic> propose() {
        m_web = list("web_joints");
        m_flange = list("flange_joints");
        if (!m_web && !m_flange) return none("its sheet has no list `web_joints` or `flange_joints`", "take a member that is made of webs and flanges");
        const auto a = number("x_A"), b = number("x_B");
        if (!a || !b || !(*b > *a)) return none("where it begins and ends is not known", "state what its sheet asks for first");
        const Parts parts = gatherParts(m_job, m_rows, {m_member});
        m_low = *a;
        m_high = *b;
        m_webStock = stockOf(parts, m_web);
        m_flangeStock = stockOf(parts, m_flange);
        const auto webMost = longest(m_webStock), flangeMost = longest(m_flangeStock);
        if (m_web && !webMost) return none("no stock is stated that its web could be cut from", "state a panel: `stock NAME = MATERIAL, T by B by L, panel`");
        if (m_flange && !flangeMost)
            return none("no stock is stated that its flanges could be cut from", "state a board: `stock NAME = MATERIAL, T by B by L`");
        m_apart = number("apart").value_or(0.0);
        m_flangeStock.lap = m_flange ? greatest("lap").value_or(0.0) : 0.0;
        const PieceLimits webLimits = limits(m_webStock, webMost, "l_panel"), flangeLimits = limits(m_flangeStock, flangeMost, "l_stick");
        const bool jointed = m_flange && *b - *a > flangeLimits.whole;
        if (jointed && (!m_flange->table || m_flange->table->rowCount() == 0))
            return none("no joint of a flange is stated, so its strength is not known",
                        "state one joint in the list flange_joints with its kind and its proven strengths");
        m_before = m_job.text(m_job.path()).value_or(std::string());
        const auto chains = [&](const std::optional<List>& list, const JointStock& stock, const char* name, const std::string& flange,
                                const PieceLimits& most) {
            if (!list) return JointChains{{{}}, true};
            const Places allowed = *b - *a > most.whole ? allowedPlaces(*list, stock, name, flange) : Places{};
            return jointChains(stock, *a, *b, most, allowed);
        };
        const JointChains webs = chains(m_web, m_webStock, "web_joints", "", webLimits);
        const JointChains tops = chains(m_flange, m_flangeStock, "flange_joints", "top", flangeLimits);
        const JointChains bottoms = chains(m_flange, m_flangeStock, "flange_joints", "bottom", flangeLimits);
        (void)m_job.setText(m_job.path(), m_before);
        if (webs.chains.empty() || tops.chains.empty() || bottoms.chains.empty())
            return none(m_refusal.empty() ? "its pieces cannot be had from the lengths in stock" : m_refusal,
                        "joints of higher strength, longer stock, or a deeper beam");
        m_all = webs.all && tops.all && bottoms.all;
        return search(webs.chains, tops.chains, bottoms.chains);
    }

private:
    struct List {
        QuantityId id;
        std::shared_ptr<const meaning::Table> table; ///< as the member has it now
        job::ListView written;                       ///< the same as it is written: links as links
    };

    [[nodiscard]] base::Failure<diag::Diagnostic> none(const std::string& why, const std::string& mend) const {
        diag::Diagnostic d;
        d.code = diag::Code::ProposalNone;
        d.place.file = m_job.path();
        d.message = "no joints can be proposed for " + m_mark + ": " + why;
        d.mend = mend;
        d.member = m_mark;
        return {std::move(d)};
    }

    [[nodiscard]] std::optional<List> list(const char* name) const {
        const meaning::Quantity* q = m_sheet.find(name);
        if (q == nullptr || q->kind != Kind::List || !q->table || !q->table->column("at")) return std::nullopt;
        const eval::Value& v = m_job.value(m_member, q->id);
        return List{q->id, v.known() ? v.table : q->table, m_job.list(m_member, q->id).value_or(job::ListView{})};
    }

    [[nodiscard]] std::optional<double> number(const char* name) const {
        const meaning::Quantity* q = m_sheet.find(name);
        if (q == nullptr || !q->axes.empty()) return std::nullopt;
        const eval::Value& v = m_job.value(m_member, q->id);
        return v.known() ? std::optional(v.one) : std::nullopt;
    }

    [[nodiscard]] std::optional<double> greatest(const char* name) const {
        const meaning::Quantity* q = m_sheet.find(name);
        if (q == nullptr) return std::nullopt;
        const eval::Value& v = m_job.value(m_member, q->id);
        if (!v.known() || v.many.empty()) return std::nullopt;
        return *std::max_element(v.many.begin(), v.many.end());
    }

    /// True if a row reads the list, directly or through others.
    [[nodiscard]] std::vector<char> readersOf(QuantityId list) const {
        std::vector<char> reads(m_sheet.quantities.size(), 0);
        reads[list.index()] = 1;
        for (bool more = true; more;) {
            more = false;
            for (const meaning::Quantity& q : m_sheet.quantities) {
                if (reads[q.id.index()] != 0) continue;
                for (const QuantityId r : q.reads)
                    if (reads[r.index()] != 0) {
                        reads[q.id.index()] = 1;
                        more = true;
                        break;
                    }
            }
        }
        return reads;
    }

    /// What the pieces between the joints of a list are cut from.
    [[nodiscard]] JointStock stockOf(const Parts& parts, const std::optional<List>& list) const {
        JointStock out;
        if (!list) return out;
        out.kerf = unitsAtLeast(m_rows.saw.crossKerf);
        const std::vector<char> reads = readersOf(list->id);
        for (const Part& p : parts.parts) {
            const auto q = std::find_if(m_sheet.quantities.begin(), m_sheet.quantities.end(),
                                        [&](const meaning::Quantity& o) { return o.kind == Kind::Piece && o.name == p.view.name; });
            // Pieces along the member, not the plates of its joints: their length reaches between joints or to an end.
            if (q == m_sheet.quantities.end() || reads[q->id.index()] == 0 || isPlate(p)) continue;
            if (p.count == 0) continue;
            out.times = std::max(out.times, p.count);
            out.fewest = out.fewest == 0 ? p.count : std::min(out.fewest, p.count);
            out.sum += p.count * p.length;
            for (const StockRow& s : m_rows.stock) {
                const std::int64_t thickness = std::llround(s.thickness * kUnitsPerMetre);
                const bool upright = std::llabs(thickness - p.thickness) > 1; // the piece lies on its side in the stock
                const std::int64_t breadth = upright ? p.thickness : std::max(p.breadth, p.breadthEnd);
                if (s.material != p.view.material || (upright && std::llabs(thickness - p.breadth) > 1)) continue;
                const bool across = s.panel && p.view.grain == job::PieceView::Grain::Across;
                const double trim = 2.0 * m_rows.saw.trim;
                const std::int64_t length = unitsAtMost((across ? s.breadth : s.length) - trim);
                const std::int64_t broad = unitsAtMost((across ? s.length : s.breadth) - (s.panel ? trim : 0.0));
                const std::int64_t kerf = unitsAtLeast(m_rows.saw.kerf);
                const std::int64_t strips = p.rip || s.panel ? (broad + kerf) / (breadth + kerf) : broad + 1 >= breadth ? 1 : 0;
                if (length <= 0 || strips <= 0) continue;
                // Of a panel the pieces may lie either way, so its area alone limits them.
                const std::int64_t mean = std::max<std::int64_t>(1, upright ? breadth : (p.breadth + p.breadthEnd) / 2);
                const std::int64_t whole = s.panel ? length * broad / mean + 1 : strips * length;
                const JointStock::Board board{length, strips, s.breadth * s.length, s.breadth * s.length * s.thickness, whole, s.onHand};
                const bool fresh = out.rows.insert(static_cast<std::size_t>(&s - m_rows.stock.data())).second;
                if (fresh || std::find(out.boards.begin(), out.boards.end(), board) == out.boards.end()) out.boards.push_back(board);
            }
        }
        return out;
    }

    [[nodiscard]] static bool isPlate(const Part& p) { return p.view.name.find("plate") != std::string::npos; }

    /// The longest piece that stock allows.
    [[nodiscard]] static std::optional<double> longest(const JointStock& stock) {
        std::int64_t most = 0;
        for (const JointStock::Board& b : stock.boards) most = std::max(most, b.length);
        return most > 0 ? std::optional(metresOf(most)) : std::nullopt;
    }

    /// The same between joints, laps taken off, and no longer than the sheet's own limit, which counts from joint to joint.
    [[nodiscard]] PieceLimits limits(const JointStock& stock, const std::optional<double>& longest, const char* own) const {
        if (!longest) return {};
        const double most = number(own).value_or(*longest);
        return {std::min(*longest - stock.lap, most), std::min(*longest - stock.lap / 2.0, most), std::min(*longest, most)};
    }

    /// Places where a joint alone passes all that the sheet checks of each joint of the list by itself: one joint is tried at every
    /// place at once.
    [[nodiscard]] Places allowedPlaces(const List& list, const JointStock& stock, const char* name, const std::string& flange) {
        const Places grid = placesToTry(stock, m_low, m_high);
        const std::vector<std::string> which(flange.empty() ? 0 : grid.size(), flange);
        if (grid.empty() || !m_job.setList(m_mark, name, lines(list, grid, which))) return {};
        const auto index = m_job.memberByMark(m_mark);
        if (!index) return {};
        const meaning::Sheet& sheet = m_job.sheet(*index);
        std::vector<char> good(grid.size(), 1);
        for (const job::CheckView& c : m_job.member(*index).checks) {
            const meaning::Quantity& q = sheet.at(c.id);
            if (q.axes.size() != 1 || sheet.at(q.axes[0]).list != list.id || c.cases.size() != grid.size()) continue;
            for (std::size_t i = 0; i < grid.size(); ++i) {
                if (c.cases[i].state == job::CheckView::State::Passes) continue;
                good[i] = 0;
                if (m_refusal.empty()) m_refusal = "`" + c.name + "` does not hold at enough places: " + (c.reason.empty() ? c.what : c.reason);
            }
        }
        Places out;
        for (std::size_t i = 0; i < grid.size(); ++i)
            if (good[i] != 0) out.push_back(grid[i]);
        return out;
    }

    [[nodiscard]] bool farEnough(const Places& a, const Places& b) const {
        for (const double x : a)
            for (const double y : b)
                if (std::fabs(x - y) < m_apart) return false; // to the last bit as the sheet compares them
        return true;
    }

    [[nodiscard]] base::Result<JointProposal, diag::Diagnostic> search(const std::vector<Places>& webs, const std::vector<Places>& tops,
                                                                       const std::vector<Places>& bottoms) {
        struct Set {
            double stock = 0.0; // m², guessed
            std::size_t joints = 0;
            const Places *web = nullptr, *top = nullptr, *bottom = nullptr;
        };
        const auto byStock = [](const Set& x, const Set& y) { return std::fabs(x.stock - y.stock) > 1e-9 ? x.stock < y.stock : x.joints < y.joints; };
        // Pairs of flanges first: most are too near to one another. Those that take the least stock are matched with webs.
        std::vector<Set> pairs, sets;
        for (const Places& t : tops)
            for (const Places& b : bottoms)
                if (farEnough(t, b)) pairs.push_back({m_flange ? stockFor(m_flangeStock, m_low, m_high, {&t, &b}) : 0.0, t.size() + b.size(), nullptr, &t, &b});
        std::stable_sort(pairs.begin(), pairs.end(), byStock);
        if (pairs.size() > kMostPairs) { // half of them the best, the others from everywhere
            const std::size_t half = kMostPairs / 2, rest = pairs.size() - half;
            for (std::size_t i = 0; i < half; ++i) pairs[half + i] = pairs[half + i * rest / half];
            pairs.resize(kMostPairs);
            m_all = false;
        }
        std::vector<double> webStock;
        for (const Places& w : webs) webStock.push_back(m_web ? stockFor(m_webStock, m_low, m_high, {&w}) : 0.0);
        for (const Set& p : pairs)
            for (std::size_t w = 0; w < webs.size(); ++w)
                if (farEnough(webs[w], *p.top) && farEnough(webs[w], *p.bottom))
                    sets.push_back({p.stock + webStock[w], p.joints + webs[w].size(), &webs[w], p.top, p.bottom});
        if (sets.empty())
            return none("no places keep joints of web and flanges " + units::showNumber(m_apart, {}, {3, {}, {}}) + " m apart",
                        "a smaller `apart`, or longer stock");
        std::stable_sort(sets.begin(), sets.end(), byStock);
        // By turns the one that promises the least stock, the one of fewest joints, and one from everywhere: sets that are nearly alike mostly
        // fail alike, and the guess may err.
        std::vector<std::size_t> few(sets.size());
        std::iota(few.begin(), few.end(), std::size_t{0});
        std::stable_sort(few.begin(), few.end(), [&](std::size_t x, std::size_t y) { return sets[x].joints < sets[y].joints; });
        std::vector<std::size_t> order;
        std::vector<char> taken(sets.size(), 0);
        const auto next = [&](std::size_t from, const auto& setAt) {
            // Of sets that promise the same not the first few, which differ by a step, but some from all of them.
            while (from < sets.size() && taken[setAt(from)] != 0) ++from;
            if (from == sets.size()) return from;
            const auto alike = [&](std::size_t k) {
                return std::fabs(sets[setAt(k)].stock - sets[setAt(from)].stock) < 1e-9 && sets[setAt(k)].joints == sets[setAt(from)].joints;
            };
            std::size_t end = from;
            while (end < sets.size() && alike(end)) ++end;
            order.push_back(setAt(from));
            taken[order.back()] = 1;
            return std::min(sets.size(), from + 1 + (end - from - 1) / (kMostTried / 4));
        };
        const std::size_t most = m_all && sets.size() <= kMostWhole ? 0 : std::min(kMostTried, sets.size());
        if (most == 0) {
            order.resize(sets.size());
            std::iota(order.begin(), order.end(), std::size_t{0});
        }
        for (std::size_t n = 0, best = 0, fewest = 0; n < 3 * kMostTried && order.size() < most; ++n) {
            if (n % 3 == 0) best = next(best, [](std::size_t k) { return k; });
            if (n % 3 == 1) fewest = next(fewest, [&](std::size_t k) { return few[k]; });
            if (n % 3 == 2) (void)next(n * sets.size() / (3 * kMostTried), [](std::size_t k) { return k; });
        }
        std::vector<JointProposal> good;
        std::string refusal;
        std::size_t tried = 0;
        for (const std::size_t i : order) {
            ++tried;
            JointProposal p;
            p.web = *sets[i].web;
            p.top = *sets[i].top;
            p.bottom = *sets[i].bottom;
            if (!write(p)) break;
            if (const std::string wrong = judge(p); !wrong.empty()) {
                if (refusal.empty()) refusal = wrong;
                continue;
            }
            good.push_back(std::move(p));
        }
        if (good.empty()) {
            (void)m_job.setText(m_job.path(), m_before);
            return none(refusal.empty() ? "the lists cannot be written" : refusal, "joints of higher strength, other lengths of stock, or a deeper beam");
        }
        std::stable_sort(good.begin(), good.end(), [](const JointProposal& x, const JointProposal& y) { return decides(x, y).first < 0; });
        JointProposal best = std::move(good.front());
        best.tried = tried;
        best.held = good.size();
        best.sets = sets.size();
        best.all = m_all && tried == sets.size();
        best.proven = best.bought <= best.atLeast * (1.0 + 1e-9);
        (void)write(best);
        const JointProposal* fewest = nullptr;
        for (std::size_t i = 1; i < good.size(); ++i)
            if (good[i].joints() < (fewest != nullptr ? fewest->joints() : best.joints())) fewest = &good[i];
        best.words = jointWords(best, {m_web.has_value(), m_flange.has_value(), m_all, m_rows.currency}, good.size() > 1 ? &good[1] : nullptr, fewest);
        tellSplices(best);
        return best;
    }

    /// The members that the joints take their strength from carry the plates and the glue of the joints: they must stand for as many.
    void tellSplices(JointProposal& best) const {
        if (!m_flange || m_flange->written.rows.empty()) return;
        const auto index = m_job.memberByMark(m_mark);
        if (!index) return;
        const std::size_t needed = (best.top.size() + best.bottom.size()) * static_cast<std::size_t>(m_job.member(*index).count);
        std::set<std::string> told;
        for (const std::string& cell : m_flange->written.rows.front()) {
            const std::size_t dot = cell.find('.');
            if (dot == std::string::npos) continue;
            const std::string mark = cell.substr(0, dot);
            const auto other = m_job.memberByMark(mark);
            if (!other || *other == *index || !m_job.member(*other).insteadOf.empty() || !told.insert(mark).second) continue;
            const auto stands = static_cast<std::size_t>(m_job.member(*other).count);
            best.words.push_back("each joint of a flange is one of " + mark + ": " + std::to_string(needed) + (needed == 1 ? " is" : " are") + " needed, " +
                                 mark + " stands " + std::to_string(stands) + " off" +
                                 (stands == needed ? "" : "; write `off " + std::to_string(needed) + "` there, so that its plates are bought and weighed"));
        }
    }

    /// Writes the set into the job's text.
    bool write(JointProposal& p) {
        if (m_web) {
            p.webLines = lines(*m_web, p.web, {});
            if (!m_job.setList(m_mark, "web_joints", p.webLines)) return false;
        }
        if (m_flange) {
            std::vector<std::string> which(p.top.size(), "top");
            which.insert(which.end(), p.bottom.size(), "bottom");
            Places all = p.top;
            all.insert(all.end(), p.bottom.begin(), p.bottom.end());
            p.flangeLines = lines(*m_flange, all, which);
            if (!m_job.setList(m_mark, "flange_joints", p.flangeLines)) return false;
        }
        return true;
    }

    /// The unit in which a column is written: that of the rows that are copied, but for places, which are made anew.
    [[nodiscard]] static std::string unitOf(const List& list, std::size_t c) {
        const meaning::Table::Column& column = list.table->columns[c];
        const bool stated = column.name != "at" && c < list.written.columns.size() && !list.written.columns[c].unit.empty();
        return stated ? list.written.columns[c].unit : column.unit.ascii;
    }

    /// A list with a row for each place; other columns are those of its first row, or of the web itself.
    [[nodiscard]] std::string lines(const List& list, const Places& places, const std::vector<std::string>& flange) const {
        const meaning::Table& t = *list.table;
        std::string out;
        for (std::size_t c = 0; c < t.columns.size(); ++c) {
            const meaning::Table::Column& column = t.columns[c];
            out += (c == 0 ? "" : ", ") + column.name;
            const bool key = std::find(t.keys.begin(), t.keys.end(), static_cast<std::uint32_t>(c)) != t.keys.end();
            if (column.text && !key)
                out += " [text]";
            else if (const std::string unit = unitOf(list, c); !column.text && !unit.empty())
                out += " [" + unit + "]";
        }
        out += "\n";
        for (std::size_t r = 0; r < places.size(); ++r) {
            for (std::size_t c = 0; c < t.columns.size(); ++c) {
                const meaning::Table::Column& column = t.columns[c];
                std::string cell;
                if (column.name == "at")
                    cell = base::shortest(std::round(units::fromSi(places[r], column.unit) * 1e6) / 1e6);
                else if (column.name == "flange" && r < flange.size())
                    cell = flange[r];
                else if (std::find(t.keys.begin(), t.keys.end(), static_cast<std::uint32_t>(c)) != t.keys.end())
                    cell = std::to_string(r + 1);
                else if (!list.written.rows.empty() && c < list.written.rows.front().size())
                    cell = list.written.rows.front()[c];
                else
                    cell = base::shortest(units::fromSi(column.name == "t_p" ? number("b_w").value_or(0.0) : 0.25, column.unit));
                const bool quote = cell.find_first_of(",\"") != std::string::npos;
                out += (c == 0 ? "" : ", ") + (quote ? "\"" + cell + "\"" : cell);
            }
            out += "\n";
        }
        return out;
    }

    /// Empty if all that reads the lists passes and everything finds stock; fills in what it costs. Else why not.
    [[nodiscard]] std::string judge(JointProposal& p) {
        const auto index = m_job.memberByMark(m_mark);
        if (!index) return "it is gone";
        const meaning::Sheet& sheet = m_job.sheet(*index);
        std::vector<char> decided(sheet.quantities.size(), 0);
        for (const auto& list : {m_web, m_flange}) {
            if (!list) continue;
            const std::vector<char> reads = readersOf(list->id);
            for (std::size_t i = 0; i < reads.size(); ++i) decided[i] = static_cast<char>(decided[i] | reads[i]);
        }
        for (const job::CheckView& c : m_job.member(*index).checks) {
            if (decided[c.id.index()] == 0 || c.state == job::CheckView::State::NotApplicable) continue;
            if (c.state != job::CheckView::State::Passes) return "`" + c.name + "` does not hold: " + (c.reason.empty() ? c.what : c.reason);
            if (c.utilisation) p.utilisation = std::max(p.utilisation, *c.utilisation);
        }
        const auto reads = [&](const Part& part) {
            return std::any_of(sheet.quantities.begin(), sheet.quantities.end(),
                               [&](const meaning::Quantity& q) { return q.kind == Kind::Piece && q.name == part.view.name && decided[q.id.index()] != 0; });
        };
        Parts parts = gatherParts(m_job, m_rows, {*index});
        if (!parts.problems.empty()) return parts.problems.front().message;
        PlanOptions options;
        options.effort = m_effort;
        const CutPlan plan = planCuts(parts, m_rows, m_job.rates(), options);
        if (!plan.whole) return plan.problems.empty() ? "not every piece finds stock" : plan.problems.front().message;
        double cut = 0.0, used = 0.0;
        p.money = true;
        p.atLeast = leastOfChains();
        for (const GroupPlan& g : plan.groups) {
            // What the joints do not touch, and what takes nothing from on hand that they might leave, is bought with any joints.
            const bool apart = std::none_of(g.parts.begin(), g.parts.end(), [&](std::size_t i) { return reads(parts.parts[i]); }) &&
                               std::none_of(g.stock.begin(), g.stock.end(), [&](std::size_t s) { return m_rows.stock[s].onHand > 0; });
            for (const StockUse& u : g.use) {
                const StockRow& s = m_rows.stock[u.stock];
                const auto price = priceOfOne(s, m_rows.currency, m_job.rates());
                p.money = p.money && price;
                p.cost += price.value_or(0.0) * static_cast<double>(u.planned);
                const double one = s.thickness * s.breadth * s.length;
                p.bought += one * static_cast<double>(u.planned);
                if (apart) p.atLeast += one * static_cast<double>(u.planned);
                cut += one * static_cast<double>(u.planned + u.onHand);
            }
        }
        if (!p.money) p.cost = 0.0;
        // Plates only mend joints: what they take is not what was wanted.
        for (const Part& part : parts.parts)
            if (!isPlate(part))
                used += part.view.thickness * (part.view.breadth + part.view.breadthEnd) / 2.0 * part.view.length * static_cast<double>(part.count);
        p.waste = cut > 0.0 ? std::max(0.0, 1.0 - used / cut) : 0.0;
        return {};
    }

    /// m³ that webs and flanges take wherever their joints stand.
    [[nodiscard]] double leastOfChains() const {
        const double web = m_web ? leastStock(m_webStock, m_low, m_high, 1) : 0.0;
        const double flange = m_flange ? leastStock(m_flangeStock, m_low, m_high, 2) : 0.0;
        const bool shared = std::any_of(m_webStock.rows.begin(), m_webStock.rows.end(), [&](std::size_t s) { return m_flangeStock.rows.count(s) > 0; });
        return shared ? std::max(web, flange) : web + flange;
    }

    job::Job& m_job;
    std::size_t m_member;
    const meaning::Sheet& m_sheet;
    std::string m_mark;
    ShopRows m_rows;
    Effort m_effort;
    std::optional<List> m_web, m_flange;
    JointStock m_webStock, m_flangeStock;
    double m_low = 0.0, m_high = 0.0, m_apart = 0.0;
    std::string m_before;  ///< the job's text
    bool m_all = true;     ///< all chains of joints are matched
    std::string m_refusal; ///< the first check that a joint does not pass
};

} // namespace

base::Result<JointProposal, diag::Diagnostic> proposeJoints(job::Job& job, std::string_view mark, const Effort& effort) {
    const auto member = job.isSingleSheet() ? std::nullopt : job.memberByMark(mark);
    if (!member) {
        diag::Diagnostic d;
        d.code = diag::Code::UnknownMember;
        d.place.file = job.path();
        d.message = "there is no member `" + std::string(mark) + "`";
        d.mend = "take one of the marks in the job";
        return base::Failure{std::move(d)};
    }
    return Proposer(job, *member, effort).propose();
}

} // namespace spanwright::shop
