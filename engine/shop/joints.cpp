// SPDX-License-Identifier: MIT
// Web panels and flange pieces from stock lengths, so that the sheet's own rules on joints hold with the least waste.
#include "engine/shop/joints.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "engine/base/text.h"
#include "engine/units/format.h"

namespace spanwright::shop {

namespace {

using meaning::Kind;
using meaning::QuantityId;

constexpr double kStep = 0.1;             // m: joints stand at whole multiples along the member
constexpr double kShortest = 0.4;         // m: of a piece between joints
constexpr std::size_t kMostTried = 60;    // sets that are calculated
constexpr std::size_t kMostPairs = 4'000; // of flanges that are matched with webs

using Places = std::vector<double>;

/// Every n-th of a long list, so that it keeps at most `most`.
std::vector<Places> thinned(std::vector<Places> list, std::size_t most) {
    if (list.size() <= most) return list;
    std::vector<Places> out;
    for (std::size_t i = 0; i < most; ++i) out.push_back(std::move(list[i * list.size() / most]));
    return out;
}

/// Chains of joints at `allowed` places (ascending) between `low` and `high`, no piece longer than `most`: those with the fewest
/// joints, then those with one more.
class Chains {
public:
    Chains(double low, double high, double most, const Places& allowed) : m_low(low), m_high(high), m_most(most), m_allowed(allowed) {}

    [[nodiscard]] std::vector<Places> all() {
        const auto least = static_cast<std::size_t>(std::max(0.0, std::ceil((m_high - m_low) / m_most - 1e-9) - 1.0));
        std::vector<Places> out;
        for (std::size_t joints = least, found = 0; joints <= least + kMoreJoints && found < 2; ++joints) {
            m_found.clear();
            Places sofar;
            go(sofar, joints);
            if (!m_found.empty()) ++found;
            for (Places& p : thinned(std::move(m_found), kKept)) out.push_back(std::move(p));
            if (joints == 0 && found == 1) break; // no joint is better than any
        }
        return out;
    }

private:
    static constexpr std::size_t kMoreJoints = 3, kKept = 150, kMostFound = 20'000;

    void go(Places& sofar, std::size_t left) {
        if (m_found.size() >= kMostFound) return;
        const double from = sofar.empty() ? m_low : sofar.back();
        if (m_high - from > m_most * static_cast<double>(left + 1) + 1e-9) return;
        if (left == 0) {
            if (m_high - from >= kShortest || sofar.empty()) m_found.push_back(sofar);
            return;
        }
        for (auto at = std::lower_bound(m_allowed.begin(), m_allowed.end(), from + kShortest - 1e-9); at != m_allowed.end() && *at - from <= m_most + 1e-9;
             ++at) {
            sofar.push_back(*at);
            go(sofar, left - 1);
            sofar.pop_back();
        }
    }

    double m_low, m_high, m_most;
    const Places& m_allowed;
    std::vector<Places> m_found;
};

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
        const auto webMost = longest(parts, m_web, "l_panel"), flangeMost = longest(parts, m_flange, "l_stick");
        if (m_web && !webMost) return none("no stock is stated that its web could be cut from", "state a panel: `stock NAME = MATERIAL, T by B by L, panel`");
        if (m_flange && !flangeMost)
            return none("no stock is stated that its flanges could be cut from", "state a board: `stock NAME = MATERIAL, T by B by L`");
        m_apart = number("apart").value_or(0.0);
        const double lap = m_flange ? greatest("lap").value_or(0.0) : 0.0;
        const double flangeLongest = m_flange ? *flangeMost - lap : 0.0;
        const bool jointed = m_flange && *b - *a > flangeLongest;
        if (jointed && (!m_flange->table || m_flange->table->rowCount() == 0))
            return none("no joint of a flange is stated, so its strength is not known",
                        "state one joint in the list flange_joints with its kind and its proven strengths");
        m_before = m_job.text(m_job.path()).value_or(std::string());
        const auto chains = [&](const std::optional<List>& list, const char* name, const std::string& flange, double most) {
            if (!list) return std::vector<Places>{{}};
            const Places allowed = *b - *a > most ? allowedPlaces(*list, name, flange, *a, *b) : Places{};
            return Chains(*a, *b, most, allowed).all();
        };
        const std::vector<Places> webs = chains(m_web, "web_joints", "", m_web ? *webMost : 0.0);
        const std::vector<Places> tops = chains(m_flange, "flange_joints", "top", flangeLongest);
        const std::vector<Places> bottoms = chains(m_flange, "flange_joints", "bottom", flangeLongest);
        (void)m_job.setText(m_job.path(), m_before);
        if (webs.empty() || tops.empty() || bottoms.empty())
            return none(m_refusal.empty() ? "its pieces cannot be had from the lengths in stock" : m_refusal,
                        "joints of higher strength, longer stock, or a deeper beam");
        return search(webs, tops, bottoms);
    }

private:
    struct List {
        QuantityId id;
        std::shared_ptr<const meaning::Table> table; ///< as the member has it now
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
        return List{q->id, v.known() ? v.table : q->table};
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

    /// The longest piece that stock allows for the parts whose rows read the list, and no longer than the sheet's own limit.
    [[nodiscard]] std::optional<double> longest(const Parts& parts, const std::optional<List>& list, const char* limit) const {
        if (!list) return std::nullopt;
        const std::vector<char> reads = readersOf(list->id);
        double most = 0.0;
        for (const Part& p : parts.parts) {
            const auto q = std::find_if(m_sheet.quantities.begin(), m_sheet.quantities.end(),
                                        [&](const meaning::Quantity& o) { return o.kind == Kind::Piece && o.name == p.view.name; });
            // Pieces along the member, not the plates of its joints: their length reaches between joints or to an end.
            if (q == m_sheet.quantities.end() || reads[q->id.index()] == 0 || p.view.name.find("plate") != std::string::npos) continue;
            for (const StockRow& s : m_rows.stock) {
                if (s.material != p.view.material ||
                    (std::llabs(std::llround(s.thickness * 1e4) - p.thickness) > 1 && std::llabs(std::llround(s.thickness * 1e4) - p.breadth) > 1))
                    continue;
                const bool across = s.panel && p.view.grain == job::PieceView::Grain::Across;
                most = std::max(most, (across ? s.breadth : s.length) - 2.0 * m_rows.saw.trim);
            }
        }
        if (most <= 0.0) return std::nullopt;
        return std::min(most, number(limit).value_or(most));
    }

    /// Places where a joint alone passes all that the sheet checks of each joint of the list by itself: one joint is tried at every
    /// whole step at once.
    [[nodiscard]] Places allowedPlaces(const List& list, const char* name, const std::string& flange, double low, double high) {
        Places grid;
        for (double x = std::ceil((low + kShortest) / kStep - 1e-9) * kStep; x <= high - kShortest + 1e-9; x += kStep)
            grid.push_back(std::round(x * 1e6) / 1e6);
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
            const Places *web, *top, *bottom;
        };
        // Pairs of flanges first: most are too near to one another.
        std::vector<Set> pairs, sets;
        for (const Places& t : tops)
            for (const Places& b : bottoms)
                if (farEnough(t, b)) pairs.push_back({nullptr, &t, &b});
        const std::size_t every = std::max<std::size_t>(1, pairs.size() / kMostPairs);
        for (std::size_t i = 0; i < pairs.size(); i += every)
            for (const Places& w : webs)
                if (farEnough(w, *pairs[i].top) && farEnough(w, *pairs[i].bottom)) sets.push_back({&w, pairs[i].top, pairs[i].bottom});
        if (sets.empty())
            return none("no places keep joints of web and flanges " + units::showNumber(m_apart, {}, {3, {}, {}}) + " m apart",
                        "a smaller `apart`, or longer stock");
        // The fewest joints first; of as many, some of every sort rather than sixty that are nearly alike.
        std::stable_sort(sets.begin(), sets.end(), [](const Set& x, const Set& y) {
            return x.web->size() + x.top->size() + x.bottom->size() < y.web->size() + y.top->size() + y.bottom->size();
        });
        const std::size_t stride = std::max<std::size_t>(1, sets.size() / kMostTried);
        std::optional<JointProposal> best;
        std::string refusal;
        std::size_t tried = 0;
        for (std::size_t i = 0; i < sets.size() && tried < kMostTried; i += stride) {
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
            const bool better =
                !best || p.cost < best->cost * (1.0 - 1e-9) || (p.cost <= best->cost * (1.0 + 1e-9) && p.utilisation < best->utilisation - 1e-9);
            if (better) best = std::move(p);
        }
        if (!best) {
            (void)m_job.setText(m_job.path(), m_before);
            return none(refusal.empty() ? "the lists cannot be written" : refusal, "joints of higher strength, other lengths of stock, or a deeper beam");
        }
        best->tried = tried;
        (void)write(*best);
        const auto say = [&](const char* what, const Places& places) {
            std::string line = std::string(what) + ": ";
            for (std::size_t i = 0; i < places.size(); ++i) line += (i == 0 ? "" : ", ") + units::showNumber(places[i], {}, {4, {}, {}}) + " m";
            best->words.push_back(places.empty() ? std::string(what) + ": none" : line);
        };
        if (m_web) say("joints of the web", best->web);
        if (m_flange) {
            say("joints of the top flange", best->top);
            say("joints of the bottom flange", best->bottom);
        }
        return *std::move(best);
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
            else if (!column.text && !column.unit.ascii.empty())
                out += " [" + column.unit.ascii + "]";
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
                else if (t.rowCount() > 0)
                    cell = t.texts[c].front();
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
        Parts parts = gatherParts(m_job, m_rows, {*index});
        if (!parts.problems.empty()) return parts.problems.front().message;
        PlanOptions options;
        options.effort = m_effort;
        const CutPlan plan = planCuts(parts, m_rows, m_job.rates(), options);
        if (!plan.whole) return plan.problems.empty() ? "not every piece finds stock" : plan.problems.front().message;
        double money = 0.0, area = 0.0;
        bool priced = true;
        for (const GroupPlan& g : plan.groups)
            for (const StockUse& u : g.use) {
                const StockRow& s = m_rows.stock[u.stock];
                const auto price = priceOfOne(s, m_rows.currency, m_job.rates());
                priced = priced && price;
                money += price.value_or(0.0) * static_cast<double>(u.planned);
                area += s.breadth * s.length * static_cast<double>(u.planned);
            }
        p.money = priced;
        p.cost = priced ? money : area;
        return {};
    }

    job::Job& m_job;
    std::size_t m_member;
    const meaning::Sheet& m_sheet;
    std::string m_mark;
    ShopRows m_rows;
    Effort m_effort;
    std::optional<List> m_web, m_flange;
    double m_apart = 0.0;
    std::string m_before;  ///< the job's text
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
