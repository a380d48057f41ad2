// SPDX-License-Identifier: MIT
// Boards of one size fall apart into cutting to length: how many strips of each width are needed, then how many
// boards hold these strips. Boards of several sizes are planned together (strip_plan.h).
#include "engine/shop/board_plan.h"

#include <algorithm>
#include <map>
#include <tuple>

#include "engine/shop/budget.h"
#include "engine/shop/length_plan.h"
#include "engine/shop/strip_plan.h"

namespace spanwright::shop {

namespace {

constexpr std::int64_t kLongest = 100'000'000;
constexpr std::int64_t kMostPieces = 100'000;
constexpr std::int64_t kDearest = 1'000'000'000'000;

std::string refusalOf(const BoardProblem& p) {
    if (p.ripKerf < 0 || p.crossKerf < 0) return "the kerf is negative";
    if (p.stock.empty()) return "there is no board to cut from";
    for (const CutStock& s : p.stock) {
        if (s.width <= 0 || s.height <= 0) return "a board has no size";
        if (s.width > kLongest || s.height > kLongest) return "a board is larger than can be planned";
        if (s.trimX < 0 || s.trimY < 0) return "a trim is negative";
        if (2 * s.trimX >= s.width || 2 * s.trimY >= s.height) return "the trims leave nothing of a board";
        if (s.cost < 0) return "a board has a negative cost";
        if (s.cost > kDearest) return "a board costs more than can be planned";
        if (s.onHand < 0) return "the number of boards on hand is negative";
    }
    std::int64_t pieces = 0;
    for (const BoardProblem::Demand& d : p.demands) {
        if (d.count < 0) return "a count is negative";
        if (d.length <= 0 || d.width <= 0) return "a piece has no size";
        if (d.count == 0) continue;
        if (p.ripKerf > d.width || p.crossKerf > d.length) return "the kerf is wider than a piece";
        if (d.count > kMostPieces || (pieces += d.count) > kMostPieces) return "there are more pieces than can be planned";
        const bool fits = std::any_of(p.stock.begin(), p.stock.end(),
                                      [&](const CutStock& s) { return d.length <= s.width - 2 * s.trimX && d.width <= s.height - 2 * s.trimY; });
        if (!fits) return "a piece is larger than every board";
    }
    return {};
}

/// Boards before they become layouts: strips with what is cut from them.
struct Sawn {
    std::size_t stock = 0;
    bool onHand = false;
    std::int64_t times = 0;
    std::vector<Strip> strips;
};

class Builder {
public:
    explicit Builder(const BoardProblem& p) : m_p(p) {}

    CutLayout layout(Sawn board) {
        m_out = {};
        m_order = 0;
        m_out.stock = board.stock;
        m_out.onHand = board.onHand;
        m_out.times = board.times;
        const CutStock& s = m_p.stock[board.stock];
        Box rest{s.trimX, s.trimY, s.width - 2 * s.trimX, s.height - 2 * s.trimY};
        std::stable_sort(board.strips.begin(), board.strips.end(),
                         [](const Strip& a, const Strip& b) { return std::tie(b.width, a.pieces) < std::tie(a.width, b.pieces); });
        m_out.parts.emplace_back();
        std::vector<std::pair<std::int32_t, const Strip*>> strips;
        std::int32_t at = 0;
        for (const Strip& strip : board.strips) { strips.emplace_back(split(at, rest, false, strip.width), &strip); }
        if (at >= 0) waste(at, rest);
        for (const auto& [part, strip] : strips) {
            Box along = m_out.parts[static_cast<std::size_t>(part)].box;
            std::int32_t here = part;
            std::vector<std::pair<std::size_t, std::int64_t>> pieces = strip->pieces;
            std::stable_sort(pieces.begin(), pieces.end(),
                             [&](const auto& a, const auto& b) { return m_p.demands[a.first].length > m_p.demands[b.first].length; });
            for (const auto& [demand, n] : pieces) {
                for (std::int64_t k = 0; k < n; ++k) {
                    const std::int32_t piece = split(here, along, true, m_p.demands[demand].length);
                    CutPart& p = m_out.parts[static_cast<std::size_t>(piece)];
                    p.kind = CutPart::Kind::Piece;
                    p.piece = static_cast<std::int32_t>(m_out.pieces.size());
                    const Box b = p.box;
                    m_out.pieces.push_back({demand, b, false, {{b.x, b.y}, {b.x + b.width, b.y}, {b.x + b.width, b.y + b.height}, {b.x, b.y + b.height}}});
                }
            }
            if (here >= 0) waste(here, along);
        }
        for (const CutPart& p : m_out.parts) {
            if (p.kind == CutPart::Kind::Offcut) m_out.offcuts.push_back(p.box);
        }
        std::stable_sort(m_out.offcuts.begin(), m_out.offcuts.end(),
                         [](const Box& a, const Box& b) { return std::tuple(-a.width * a.height, a.x, a.y) < std::tuple(-b.width * b.height, b.x, b.y); });
        return std::move(m_out);
    }

private:
    /// Takes `size` off `rest` by a cut at the part `at`, unless it is all of it; both move on to what is left (-1:
    /// nothing). Gives the part that was cut off.
    std::int32_t split(std::int32_t& at, Box& rest, bool upright, std::int64_t size) {
        const std::int64_t extent = upright ? rest.width : rest.height;
        const std::int64_t kerf = upright ? m_p.crossKerf : m_p.ripKerf;
        if (size == extent) {
            const std::int32_t all = at;
            m_out.parts[static_cast<std::size_t>(all)].box = rest;
            at = -1;
            return all;
        }
        Box first = rest;
        (upright ? first.width : first.height) = size;
        const auto part = static_cast<std::int32_t>(m_out.parts.size());
        m_out.parts.emplace_back();
        m_out.parts.back().box = first;
        const auto cutAt = static_cast<std::size_t>(at);
        m_out.parts[cutAt].kind = CutPart::Kind::Cut;
        m_out.parts[cutAt].box = rest;
        m_out.parts[cutAt].upright = upright;
        m_out.parts[cutAt].at = (upright ? rest.x : rest.y) + size;
        m_out.parts[cutAt].order = ++m_order;
        m_out.parts[cutAt].first = part;
        if (size + kerf >= extent) {
            at = -1;
            return part;
        }
        at = static_cast<std::int32_t>(m_out.parts.size());
        m_out.parts[cutAt].second = at;
        (upright ? rest.x : rest.y) += size + kerf;
        (upright ? rest.width : rest.height) -= size + kerf;
        m_out.parts.emplace_back();
        return part;
    }

    void waste(std::int32_t at, const Box& box) {
        CutPart& p = m_out.parts[static_cast<std::size_t>(at)];
        p.box = box;
        const bool wanted = m_p.smallestOffcutLength > 0 || m_p.smallestOffcutWidth > 0;
        const bool usable = wanted && box.width >= m_p.smallestOffcutLength && box.height >= m_p.smallestOffcutWidth;
        p.kind = usable ? CutPart::Kind::Offcut : CutPart::Kind::Waste;
    }

    const BoardProblem& m_p;
    CutLayout m_out;
    std::int32_t m_order = 0;
};

BoardPlan planOf(const BoardProblem& p, const std::vector<Sawn>& boards, std::vector<std::int64_t> uncut, std::int64_t atLeast, std::string how,
                 std::uint64_t work) {
    BoardPlan plan;
    Builder builder(p);
    for (const bool onHand : {true, false}) {
        for (const Sawn& b : boards) {
            if (b.onHand != onHand || b.times == 0) continue;
            plan.layouts.push_back(builder.layout(b));
            plan.cut += b.times;
            if (onHand) continue;
            plan.bought += b.times;
            plan.cost += b.times * p.stock[b.stock].cost;
        }
    }
    plan.uncut = std::move(uncut);
    plan.work = work;
    if (plan.complete()) {
        plan.atLeast = atLeast;
        plan.how = std::move(how);
        plan.proven = plan.cost == atLeast;
    }
    return plan;
}

/// Boards of one size: cutting to length twice.
class OneSize {
public:
    OneSize(const BoardProblem& p, const Effort& effort, const std::function<void(const BoardPlan&)>& better)
        : m_p(p), m_better(better), m_effort(effort), m_stock(p.stock[0]) {
        for (std::size_t i = 0; i < p.demands.size(); ++i) {
            if (p.demands[i].count > 0) m_classes[p.demands[i].width].push_back(i);
        }
    }

    BoardPlan run() {
        // The strips of each width; each class gets an even share of half of the work.
        struct Class {
            std::int64_t width, atLeast;
            std::vector<Strip> strips;
        };
        std::vector<Class> classes;
        bool stripsProven = true;
        for (const auto& [width, members] : m_classes) {
            LengthProblem q;
            q.kerf = m_p.crossKerf;
            q.bars.push_back({.length = m_stock.width - 2 * m_stock.trimX});
            for (const std::size_t i : members) q.demands.push_back({m_p.demands[i].length, m_p.demands[i].count});
            const LengthPlan plan = planLengths(q, share(m_effort.work / 2 / m_classes.size()));
            m_work += plan.work;
            stripsProven = stripsProven && plan.proven;
            Class c{width, plan.atLeast, {}};
            for (const LengthPattern& pattern : plan.patterns) {
                Strip s{width, {}};
                for (const auto& [k, n] : pattern.pieces) s.pieces.emplace_back(members[k], n);
                for (std::int64_t n = 0; n < pattern.times; ++n) c.strips.push_back(s);
            }
            classes.push_back(std::move(c));
        }
        // The boards that hold them.
        LengthProblem q;
        q.kerf = m_p.ripKerf;
        q.bars.push_back({.length = m_stock.height - 2 * m_stock.trimY});
        for (const Class& c : classes) q.demands.push_back({c.width, static_cast<std::int64_t>(c.strips.size())});
        const LengthPlan boards = planLengths(q, share(m_effort.work / 2));
        m_work += boards.work;
        std::int64_t atLeast = boards.atLeast;
        if (!stripsProven) {
            for (std::size_t k = 0; k < classes.size(); ++k) q.demands[k].count = classes[k].atLeast;
            const LengthPlan least = planLengths(q, share(m_effort.work / 4));
            m_work += least.work;
            atLeast = least.atLeast;
        }
        std::map<std::vector<std::vector<std::pair<std::size_t, std::int64_t>>>, Sawn> joined;
        std::vector<std::size_t> next(classes.size(), 0);
        std::vector<Sawn> sawn;
        std::int64_t total = 0;
        for (const LengthPattern& pattern : boards.patterns) {
            for (std::int64_t n = 0; n < pattern.times; ++n) {
                Sawn b{0, false, 1, {}};
                std::vector<std::vector<std::pair<std::size_t, std::int64_t>>> key;
                for (const auto& [k, strips] : pattern.pieces) {
                    for (std::int64_t j = 0; j < strips; ++j) {
                        b.strips.push_back(classes[k].strips[next[k]++]);
                        key.push_back(b.strips.back().pieces);
                    }
                }
                ++total;
                const auto [it, isNew] = joined.try_emplace(std::move(key), std::move(b));
                if (!isNew) ++it->second.times;
            }
        }
        std::int64_t onHand = std::min(m_stock.onHand, total);
        for (auto& [key, b] : joined) {
            const std::int64_t first = std::min(onHand, b.times);
            onHand -= first;
            Sawn here = b;
            here.onHand = true;
            here.times = first;
            b.times -= first;
            if (first > 0) sawn.push_back(std::move(here));
            if (b.times > 0) sawn.push_back(std::move(b));
        }
        const std::int64_t cost = std::max<std::int64_t>(0, atLeast - m_stock.onHand) * m_stock.cost;
        BoardPlan plan = planOf(m_p, sawn, std::vector<std::int64_t>(m_p.demands.size(), 0), cost, boards.how, m_work);
        if (m_better) m_better(plan);
        return plan;
    }

private:
    [[nodiscard]] Effort share(std::uint64_t work) const { return {.work = work, .cancelled = m_effort.cancelled}; }

    const BoardProblem& m_p;
    const std::function<void(const BoardPlan&)>& m_better;
    const Effort& m_effort;
    const CutStock& m_stock;
    std::map<std::int64_t, std::vector<std::size_t>, std::greater<>> m_classes;
    std::uint64_t m_work = 0;
};

BoardPlan planMixed(const BoardProblem& p, const Effort& effort, const std::function<void(const BoardPlan&)>& better) {
    std::vector<StripBin> bins;
    std::vector<std::size_t> origin;
    for (const bool onHand : {true, false}) {
        for (std::size_t i = 0; i < p.stock.size(); ++i) {
            const CutStock& s = p.stock[i];
            if (onHand ? s.onHand == 0 : !s.bought) continue;
            bins.push_back({.length = s.width - 2 * s.trimX + p.crossKerf,
                            .height = s.height - 2 * s.trimY + p.ripKerf,
                            .cost = s.cost,
                            .limit = onHand ? std::min(s.onHand, kMostPieces) : kMostPieces * 10,
                            .onHand = onHand});
            origin.push_back(i);
        }
    }
    std::vector<StripPiece> pieces;
    for (const BoardProblem::Demand& d : p.demands) pieces.push_back({d.length + p.crossKerf, d.width + p.ripKerf, d.count});
    Budget budget(effort.work, effort.cancelled);
    const auto asBoards = [&](const StripPlan& plan) {
        std::vector<Sawn> sawn;
        for (const StrippedBin& b : plan.bins) {
            Sawn s{origin[b.bin], bins[b.bin].onHand, b.times, b.strips};
            for (Strip& strip : s.strips) strip.width -= p.ripKerf;
            sawn.push_back(std::move(s));
        }
        return planOf(p, sawn, plan.uncut, plan.atLeast, plan.how, budget.done());
    };
    std::function<void(const StripPlan&)> told;
    if (better) told = [&](const StripPlan& plan) { better(asBoards(plan)); };
    return asBoards(planStrips(bins, pieces, budget, told));
}

} // namespace

BoardPlan planBoards(const BoardProblem& problem, const Effort& effort, const std::function<void(const BoardPlan&)>& better) {
    BoardPlan plan;
    plan.problem = refusalOf(problem);
    if (!plan.problem.empty()) return plan;
    if (problem.stock.size() == 1 && problem.stock[0].bought) return OneSize(problem, effort, better).run();
    return planMixed(problem, effort, better);
}

} // namespace spanwright::shop
