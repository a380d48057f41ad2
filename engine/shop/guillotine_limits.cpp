// SPDX-License-Identifier: MIT
#include "engine/shop/guillotine_limits.h"

#include <algorithm>
#include <bit>
#include <limits>
#include <set>
#include <utility>

#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

__extension__ using Counts = unsigned __int128; ///< a field for each counted row, the highest bit of each a guard

/// One way to fill a part.
struct Way {
    Counts counts = 0;
    std::int32_t worth = 0;
    std::int32_t how = -1; ///< see `How`
};

/// How it is sawn, shared by all larger parts that it fills as well.
struct How {
    std::int32_t fit = -1; ///< >= 0: this piece
    std::int32_t first = -1;
    std::int32_t second = -1;
    std::int32_t at = 0; ///< place of the cut
    bool alongX = false;
};

} // namespace

/// The fields of counted rows.
class GuillotineLimits::Fields {
public:
    /// False if there is no room for them.
    bool add(std::int64_t limit) {
        const int bits = static_cast<int>(std::bit_width(static_cast<std::uint64_t>(2 * limit))) + 1;
        if (m_used + bits > 128) return false;
        m_shifts.push_back(m_used);
        m_used += bits;
        m_guards |= Counts{1} << (m_used - 1);
        m_limits |= static_cast<Counts>(limit) << m_shifts.back();
        return true;
    }
    [[nodiscard]] Counts one(std::size_t n) const { return Counts{1} << m_shifts[n]; }
    [[nodiscard]] bool within(Counts c) const { return noneAbove(c, m_limits); }
    /// Whether each field of a is at most that of b.
    [[nodiscard]] bool noneAbove(Counts a, Counts b) const { return (((b | m_guards) - a) & m_guards) == m_guards; }

private:
    std::vector<int> m_shifts;
    int m_used = 0;
    Counts m_guards = 0;
    Counts m_limits = 0;
};

/// All ways to fill all parts, but for those that are of no use.
class GuillotineLimits::Round {
public:
    /// Not more than `cap` ways for a part: with fewer than there are, nothing is proven.
    Round(const GuillotineLimits& of, const Fields& fields, std::int32_t least, std::size_t memory, std::size_t cap, Budget& budget)
        : m_table(of.m_table), m_fields(fields), m_least(least), m_memory(memory), m_cap(cap), m_budget(budget), m_nx(m_table.xs().size()),
          m_ny(m_table.ys().size()) {
        for (const Taken& t : of.m_kinds) {
            Counts c = 0;
            for (std::size_t n = 0; n < of.m_counted.size(); ++n) {
                if (of.m_counted[n] == t.row) c += m_fields.one(n);
                if (of.m_counted[n] == t.mate) c += m_fields.one(n);
            }
            m_takes.push_back(c);
        }
    }

    /// The most that can lie around each part, if a part is worth `inside` at most (-1: not of use) and what lies around it `most`.
    static std::vector<std::int32_t> around(const GuillotineTable& table, const std::vector<std::int32_t>& inside, const std::vector<std::int32_t>& most,
                                            std::int32_t least, Budget& budget) {
        const std::size_t nx = table.xs().size();
        const std::size_t ny = table.ys().size();
        std::vector<std::int32_t> out(nx * ny, -1);
        out.back() = 0;
        std::uint64_t work = nx * ny;
        for (std::size_t i = nx; i-- > 1;) {
            for (std::size_t j = ny; j-- > 1;) {
                const std::int32_t here = std::min(out[i * ny + j], most[i * ny + j]);
                out[i * ny + j] = here;
                if (here < 0 || here + inside[i * ny + j] <= least) continue;
                const auto raise = [&](std::size_t a, std::size_t b, std::int32_t v) { out[a * ny + b] = std::max(out[a * ny + b], v); };
                raise(i - 1, j, here);
                raise(i, j - 1, here);
                for (const GuillotineTable::Cut& c : table.cutsX(i)) {
                    const auto a = static_cast<std::size_t>(c.first);
                    const auto b = static_cast<std::size_t>(c.second);
                    if (inside[b * ny + j] >= 0) raise(a, j, here + inside[b * ny + j]);
                    if (inside[a * ny + j] >= 0) raise(b, j, here + inside[a * ny + j]);
                }
                for (const GuillotineTable::Cut& c : table.cutsY(j)) {
                    const auto a = static_cast<std::size_t>(c.first);
                    const auto b = static_cast<std::size_t>(c.second);
                    if (inside[i * ny + b] >= 0) raise(i, a, here + inside[i * ny + b]);
                    if (inside[i * ny + a] >= 0) raise(i, b, here + inside[i * ny + a]);
                }
                work += (table.cutsX(i).size() + table.cutsY(j).size()) / 2;
            }
        }
        budget.add(work);
        return out;
    }

    /// False if it was too much.
    bool run(const std::vector<std::int32_t>& inside, const std::vector<std::int32_t>& around) {
        m_ways.assign(m_nx * m_ny, {});
        std::size_t fit = 0;
        const auto& fits = m_table.fits();
        for (std::size_t i = 1; i < m_nx; ++i) {
            for (std::size_t j = 1; j < m_ny; ++j) {
                const auto here = std::pair(static_cast<std::int32_t>(i), static_cast<std::int32_t>(j));
                while (fit < fits.size() && std::pair(fits[fit].x, fits[fit].y) < here) ++fit;
                const std::size_t cell = i * m_ny + j;
                if (around[cell] < 0 || around[cell] + inside[cell] <= m_least) continue;
                m_need = m_least - around[cell];
                m_last = cell + 1 == m_nx * m_ny;
                m_now.clear();
                inherit(cell - m_ny);
                inherit(cell - 1);
                for (std::size_t f = fit; f < fits.size() && std::pair(fits[f].x, fits[f].y) == here; ++f) {
                    const auto k = static_cast<std::size_t>(fits[f].kind);
                    if (m_table.worth()[k] <= 0) continue;
                    offer({m_takes[k], m_table.worth()[k], -1}, {static_cast<std::int32_t>(f), -1, -1, 0, false});
                }
                for (const GuillotineTable::Cut& c : m_table.cutsX(i)) {
                    join(static_cast<std::size_t>(c.first) * m_ny + j, static_cast<std::size_t>(c.second) * m_ny + j, c.first, true);
                }
                for (const GuillotineTable::Cut& c : m_table.cutsY(j)) {
                    join(i * m_ny + static_cast<std::size_t>(c.first), i * m_ny + static_cast<std::size_t>(c.second), c.first, false);
                }
                if (m_last) std::stable_sort(m_wholes.begin(), m_wholes.end(), [](const Way& a, const Way& b) { return a.worth > b.worth; });
                m_budget.add(m_work / 2 + 1);
                m_work = 0;
                m_ways[cell] = m_now;
                m_kept += m_now.size();
                if (m_last) return true;
                if (m_kept > m_memory || m_hows.size() > m_memory || m_budget.spent()) return false;
            }
        }
        return true;
    }

    [[nodiscard]] const std::vector<Way>& best() const { return m_ways.back(); }
    /// All ways to saw the panel that were come upon, the dearest first.
    [[nodiscard]] const std::vector<Way>& wholes() const { return m_wholes; }
    [[nodiscard]] std::vector<std::int32_t> inside() const {
        std::vector<std::int32_t> out(m_ways.size(), -1);
        for (std::size_t c = 0; c < out.size(); ++c) {
            if (!m_ways[c].empty()) out[c] = m_ways[c].front().worth;
        }
        return out;
    }

    [[nodiscard]] SawnPattern pattern(const Way& way, std::size_t kinds) const {
        SawnPattern p;
        p.counts.assign(kinds, 0);
        p.parts.emplace_back();
        std::vector<std::pair<std::int32_t, std::size_t>> open{{way.how, 0}};
        while (!open.empty()) {
            const auto [n, part] = open.back();
            open.pop_back();
            const How& how = m_hows[static_cast<std::size_t>(n)];
            if (how.fit >= 0) {
                const GuillotineTable::Fit& f = m_table.fits()[static_cast<std::size_t>(how.fit)];
                p.parts[part].kind = f.kind;
                p.parts[part].width = f.width;
                p.parts[part].height = f.height;
                ++p.counts[static_cast<std::size_t>(f.kind)];
                continue;
            }
            const std::size_t first = p.parts.size();
            p.parts.resize(first + 2);
            p.parts[part].alongX = how.alongX;
            p.parts[part].at = (how.alongX ? m_table.xs() : m_table.ys())[static_cast<std::size_t>(how.at)];
            p.parts[part].first = static_cast<std::int32_t>(first);
            p.parts[part].second = static_cast<std::int32_t>(first + 1);
            open.emplace_back(how.first, first);
            open.emplace_back(how.second, first + 1);
        }
        return p;
    }

private:
    void inherit(std::size_t from) {
        for (const Way& w : m_ways[from]) {
            if (w.worth <= m_need) break;
            keep(w);
        }
    }

    void join(std::size_t a, std::size_t b, std::int32_t at, bool alongX) {
        const std::vector<Way>& first = m_ways[a];
        const std::vector<Way>& second = m_ways[b];
        if (first.empty() || second.empty()) return;
        for (const Way& u : first) {
            if (u.worth + second.front().worth <= m_need) break;
            for (const Way& v : second) {
                if (u.worth + v.worth <= m_need) break;
                ++m_work;
                const Counts sum = u.counts + v.counts;
                if (!m_fields.within(sum)) continue;
                offer({sum, u.worth + v.worth, -1}, {-1, u.how, v.how, at, alongX});
            }
        }
    }

    void offer(Way w, const How& how) {
        if (w.worth <= m_need || !m_fields.within(w.counts)) return;
        w.how = static_cast<std::int32_t>(m_hows.size());
        if (keep(w) || m_last) m_hows.push_back(how);
        if (m_last) m_wholes.push_back(w);
    }

    /// Ways stand by worth, the dearest first; none is worth no more than another that takes no more.
    bool keep(const Way& w) {
        std::size_t n = 0;
        for (; n < m_now.size() && m_now[n].worth >= w.worth; ++n) {
            if (m_fields.noneAbove(m_now[n].counts, w.counts)) {
                m_work += n / 2 + 1;
                return false;
            }
        }
        m_work += m_now.size() / 2 + 1;
        m_now.insert(m_now.begin() + static_cast<std::ptrdiff_t>(n), w);
        std::size_t to = n + 1;
        for (std::size_t k = n + 1; k < m_now.size(); ++k) {
            if (!m_fields.noneAbove(w.counts, m_now[k].counts)) m_now[to++] = m_now[k];
        }
        m_now.resize(std::min(to, m_cap));
        return n < m_cap;
    }

    const GuillotineTable& m_table;
    const Fields& m_fields;
    std::int32_t m_least;
    std::size_t m_memory;
    std::size_t m_cap;
    Budget& m_budget;
    std::size_t m_nx, m_ny;
    std::vector<Counts> m_takes; ///< by kind
    std::vector<std::vector<Way>> m_ways;
    std::vector<How> m_hows;
    std::vector<Way> m_now;
    std::vector<Way> m_wholes;
    bool m_last = false; ///< the panel itself is looked at
    std::int32_t m_need = 0;
    std::uint64_t m_work = 0;
    std::size_t m_kept = 0;
};

/// What parts can be worth at most by area, if no more of each kind is taken than there is and the last one may be taken in part; and so by
/// the table's recursion.
class GuillotineLimits::Areas {
public:
    explicit Areas(const GuillotineLimits& of) : m_table(of.m_table), m_nx(m_table.xs().size()), m_ny(m_table.ys().size()) {
        std::vector<Kind> kinds(of.m_kinds.size());
        for (const GuillotineTable::Fit& f : m_table.fits()) {
            Kind& k = kinds[static_cast<std::size_t>(f.kind)];
            const std::int64_t area = areaOf(static_cast<std::size_t>(f.x), static_cast<std::size_t>(f.y));
            k.area = k.area == 0 ? area : std::min(k.area, area);
            k.fits.emplace_back(f.x, f.y);
        }
        for (std::size_t n = 0; n < kinds.size(); ++n) {
            const Taken& t = of.m_kinds[n];
            kinds[n].worth = m_table.worth()[n];
            kinds[n].count = of.m_limits[t.row];
            if (t.mate != SIZE_MAX) kinds[n].count = t.mate == t.row ? kinds[n].count / 2 : std::min(kinds[n].count, of.m_limits[t.mate]);
            if (kinds[n].worth > 0 && kinds[n].count > 0 && !kinds[n].fits.empty()) m_kinds.push_back(std::move(kinds[n]));
        }
        std::stable_sort(m_kinds.begin(), m_kinds.end(),
                         [](const Kind& a, const Kind& b) { return static_cast<Wide>(a.worth) * b.area > static_cast<Wide>(b.worth) * a.area; });
    }

    [[nodiscard]] std::vector<std::int32_t> inside(Budget& budget) const {
        std::vector<std::int32_t> out(m_nx * m_ny, 0);
        for (const Kind& k : m_kinds) {
            for (const auto& [x, y] : k.fits) {
                std::int32_t& v = out[static_cast<std::size_t>(x) * m_ny + static_cast<std::size_t>(y)];
                v = std::max(v, k.worth);
            }
        }
        std::uint64_t work = 0;
        for (std::size_t i = 1; i < m_nx; ++i) {
            for (std::size_t j = 1; j < m_ny; ++j) {
                std::int32_t v = std::max({out[i * m_ny + j], out[(i - 1) * m_ny + j], out[i * m_ny + j - 1]});
                for (const GuillotineTable::Cut& c : m_table.cutsX(i)) {
                    v = std::max(v, out[static_cast<std::size_t>(c.first) * m_ny + j] + out[static_cast<std::size_t>(c.second) * m_ny + j]);
                }
                for (const GuillotineTable::Cut& c : m_table.cutsY(j)) {
                    v = std::max(v, out[i * m_ny + static_cast<std::size_t>(c.first)] + out[i * m_ny + static_cast<std::size_t>(c.second)]);
                }
                work += (m_table.cutsX(i).size() + m_table.cutsY(j).size()) / 4;
                out[i * m_ny + j] = std::min({v, m_table.value(i, j), most(areaOf(i, j), i, j, work)});
            }
        }
        budget.add(work);
        return out;
    }

    /// Around each part.
    [[nodiscard]] std::vector<std::int32_t> around(Budget& budget) const {
        std::vector<std::int32_t> out(m_nx * m_ny, 0);
        std::uint64_t work = 0;
        for (std::size_t i = 1; i < m_nx; ++i) {
            for (std::size_t j = 1; j < m_ny; ++j) out[i * m_ny + j] = most(areaOf(m_nx - 1, m_ny - 1) - areaOf(i, j), m_nx - 1, m_ny - 1, work);
        }
        budget.add(work);
        return out;
    }

private:
    struct Kind {
        std::int64_t area = 0; ///< as the table counts it
        std::int64_t count = 0;
        std::int32_t worth = 0;
        std::vector<std::pair<std::int32_t, std::int32_t>> fits;
    };

    [[nodiscard]] std::int64_t areaOf(std::size_t i, std::size_t j) const { return m_table.xs()[i] * m_table.ys()[j]; }
    [[nodiscard]] static bool fits(const Kind& k, std::size_t i, std::size_t j) {
        return std::any_of(k.fits.begin(), k.fits.end(),
                           [&](const auto& f) { return static_cast<std::size_t>(f.first) <= i && static_cast<std::size_t>(f.second) <= j; });
    }
    [[nodiscard]] std::int32_t most(std::int64_t area, std::size_t i, std::size_t j, std::uint64_t& work) const {
        Wide sum = 0;
        for (const Kind& k : m_kinds) {
            ++work;
            if (!fits(k, i, j)) continue;
            const std::int64_t n = k.area == 0 ? k.count : std::min(k.count, area / k.area);
            sum += static_cast<Wide>(n) * k.worth;
            area -= n * k.area;
            if (n == k.count) continue;
            sum += static_cast<Wide>(area) * k.worth / k.area;
            break;
        }
        return static_cast<std::int32_t>(std::min<Wide>(sum, std::numeric_limits<std::int32_t>::max()));
    }

    const GuillotineTable& m_table;
    std::size_t m_nx, m_ny;
    std::vector<Kind> m_kinds; ///< the dearest for their area first
};

std::vector<std::int64_t> GuillotineLimits::clip(SawnPattern& pattern, std::int64_t& worth) const {
    std::vector<std::int64_t> over(m_limits.size(), 0);
    for (std::size_t r = 0; r < over.size(); ++r) over[r] = -m_limits[r];
    std::vector<std::int64_t> taken = over;
    for (SawnPattern::Part& part : pattern.parts) {
        if (part.kind < 0) continue;
        const auto k = static_cast<std::size_t>(part.kind);
        const Taken& t = m_kinds[k];
        for (std::vector<std::int64_t>* const sum : {&over, &taken}) {
            ++(*sum)[t.row];
            if (t.mate != SIZE_MAX) ++(*sum)[t.mate];
        }
        if (taken[t.row] <= 0 && (t.mate == SIZE_MAX || taken[t.mate] <= 0)) continue;
        --taken[t.row];
        if (t.mate != SIZE_MAX) --taken[t.mate];
        worth -= m_table.worth()[k];
        --pattern.counts[k];
        part.kind = -1;
    }
    return over;
}

void GuillotineLimits::gather(const Round& round, const LimitedQuestion& question, LimitedAnswer& answer) {
    std::vector<Way> ways = round.best();
    ways.insert(ways.end(), round.wholes().begin(), round.wholes().end());
    std::set<std::vector<std::int32_t>> seen;
    for (std::size_t n = 0; n < ways.size() && n < 4 * question.mostGiven && answer.patterns.size() < question.mostGiven; ++n) {
        SawnPattern p = round.pattern(ways[n], m_kinds.size());
        std::int64_t worth = ways[n].worth;
        const std::vector<std::int64_t> over = clip(p, worth);
        if (worth > question.enough && seen.insert(p.counts).second) answer.patterns.push_back(std::move(p));
        if (n > 0) continue;
        for (std::size_t r = 0; r < over.size(); ++r) {
            if (over[r] > 0 && std::find(m_counted.begin(), m_counted.end(), r) == m_counted.end()) m_counted.push_back(r);
        }
    }
}

LimitedAnswer GuillotineLimits::ask(const LimitedQuestion& question, Budget& budget) {
    LimitedAnswer answer;
    const Areas areas(*this);
    std::vector<std::int32_t> whole = areas.inside(budget);
    const std::vector<std::int32_t> most = areas.around(budget);
    // Nothing within the limits is worth more than `upper`; what is asked about lies between it and `least`.
    std::int32_t upper = whole.back();
    const auto next = [&] { return upper - question.least > question.least / 20 ? question.least + (upper - question.least) / 2 : question.least; };
    std::int32_t asked = next();
    std::vector<std::int32_t> inside = whole;
    while (upper > question.least && !budget.spent()) {
        Fields fields;
        const bool room = std::all_of(m_counted.begin(), m_counted.end(), [&](std::size_t row) { return fields.add(m_limits[row]); });
        const std::size_t counted = m_counted.size();
        const std::vector<std::int32_t> around = Round::around(m_table, inside, most, asked, budget);
        Round round(*this, fields, asked, question.memory, SIZE_MAX, budget);
        if (!room || !round.run(inside, around)) {
            fewWays(question, whole, most, answer, budget);
            return answer;
        }
        if (round.best().empty()) {
            upper = asked;
            asked = next();
            inside = whole;
            continue;
        }
        gather(round, question, answer);
        if (!answer.patterns.empty()) return answer;
        if (m_counted.size() == counted) return answer; // not to be: the dearest is within the limits and worth more
        inside = round.inside();
    }
    answer.none = upper <= question.least;
    return answer;
}

void GuillotineLimits::fewWays(const LimitedQuestion& question, const std::vector<std::int32_t>& inside, const std::vector<std::int32_t>& most,
                               LimitedAnswer& answer, Budget& budget) {
    constexpr std::size_t kWays = 8;
    constexpr int kRounds = 6;
    const std::vector<std::int32_t> around = Round::around(m_table, inside, most, question.enough, budget);
    for (int n = 0; n < kRounds && answer.patterns.empty() && !budget.spent(); ++n) {
        Fields fields;
        if (!std::all_of(m_counted.begin(), m_counted.end(), [&](std::size_t row) { return fields.add(m_limits[row]); })) return;
        Round round(*this, fields, question.enough, kWays * question.memory, kWays, budget);
        const std::size_t counted = m_counted.size();
        if (!round.run(inside, around) || round.best().empty()) return;
        gather(round, question, answer);
        if (m_counted.size() == counted) return;
    }
}

} // namespace spanwright::shop
