// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstdint>
#include <map>
#include <set>
#include <utility>
#include <vector>

#include "engine/report/build.h"
#include "engine/report/clean.h"

namespace spanwright::report {

namespace {

/// Members by index, with arrows from what rests to what carries.
struct Path {
    std::vector<std::vector<std::size_t>> carriers; ///< per member: who takes its reactions
    std::vector<std::vector<std::size_t>> resting;
    std::vector<std::size_t> level; ///< 0: nothing rests on it
};

/// Longest way from the top, over the arrows that close no ring: two members may well take values from one another
/// (a tie gives its strength to the joist whose lift it carries).
void setLevels(Path& p) {
    const std::size_t n = p.carriers.size();
    enum class Seen : std::uint8_t { No, Open, Done };
    std::vector<Seen> seen(n, Seen::No);
    std::vector<std::size_t> done; // carriers before what rests on them
    std::set<std::pair<std::size_t, std::size_t>> closing;
    for (std::size_t start = 0; start < n; ++start) {
        if (seen[start] != Seen::No) continue;
        std::vector<std::pair<std::size_t, std::size_t>> stack{{start, 0}};
        seen[start] = Seen::Open;
        while (!stack.empty()) {
            auto& [at, next] = stack.back();
            if (next == p.carriers[at].size()) {
                seen[at] = Seen::Done;
                done.push_back(at);
                stack.pop_back();
                continue;
            }
            const std::size_t carrier = p.carriers[at][next++];
            if (seen[carrier] == Seen::Open) closing.emplace(at, carrier);
            if (seen[carrier] != Seen::No) continue;
            seen[carrier] = Seen::Open;
            stack.emplace_back(carrier, 0);
        }
    }
    for (auto i = done.rbegin(); i != done.rend(); ++i) {
        for (const std::size_t c : p.carriers[*i]) {
            if (closing.count({*i, c}) == 0) p.level[c] = std::max(p.level[c], p.level[*i] + 1);
        }
    }
}

Path pathOf(const JobFacts& f) {
    Path p;
    const std::size_t n = f.members.size();
    p.carriers.resize(n);
    p.resting.resize(n);
    p.level.assign(n, 0);
    std::map<std::string, std::size_t> byMark;
    for (std::size_t i = 0; i < n; ++i) byMark.emplace(f.members[i].view.mark, i);
    for (std::size_t i = 0; i < n; ++i) {
        for (const std::string& mark : f.members[i].view.readsMembers) {
            const auto it = byMark.find(mark);
            if (it == byMark.end() || it->second == i) continue;
            p.carriers[it->second].push_back(i);
            p.resting[i].push_back(it->second);
        }
    }
    setLevels(p);
    return p;
}

constexpr std::size_t kMaxDepth = 30;
constexpr std::size_t kMaxItems = 400;

Bullets::Item itemOf(const JobFacts& f, const Path& p, std::size_t member, std::size_t depth, std::vector<char>& shown, std::size_t& left) {
    const job::MemberView& m = f.members[member].view;
    Bullets::Item item;
    item.text.push_back(linkTo(memberId(member), m.mark));
    if (!m.purpose.empty()) item.text.push_back(plainText(", " + m.purpose));
    if (shown[member] && !p.carriers[member].empty()) {
        item.text.push_back(faintText(", and on as above"));
        return item;
    }
    shown[member] = 1;
    if (p.carriers[member].empty()) item.text.push_back(faintText(", to what is below it and not calculated here"));
    for (const std::size_t c : p.carriers[member]) {
        if (depth >= kMaxDepth || left == 0) {
            item.below.push_back({{faintText("and so on")}, {}});
            break;
        }
        --left;
        item.below.push_back(itemOf(f, p, c, depth + 1, shown, left));
    }
    return item;
}

} // namespace

bool hasLoadPath(const JobFacts& f) {
    return std::any_of(f.members.begin(), f.members.end(), [](const MemberFacts& m) { return !m.view.readsMembers.empty(); });
}

Bullets loadPathList(const JobFacts& f) {
    const Path p = pathOf(f);
    Bullets out;
    std::vector<char> shown(f.members.size(), 0);
    std::size_t left = kMaxItems;
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        if (p.resting[i].empty()) out.items.push_back(itemOf(f, p, i, 0, shown, left));
    }
    // What stands in a ring has no top; it is listed all the same.
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        if (!shown[i]) out.items.push_back(itemOf(f, p, i, 0, shown, left));
    }
    return out;
}

Drawing loadPathDrawing(const JobFacts& f) {
    const Path p = pathOf(f);
    constexpr double kBoxHeight = 24;
    constexpr double kGapX = 18;
    constexpr double kStepY = 62;
    std::size_t levels = 0;
    double boxWidth = 44;
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        levels = std::max(levels, p.level[i] + 1);
        boxWidth = std::max(boxWidth, 16 + 7.5 * static_cast<double>(std::min<std::size_t>(textWidth(cleaned(f.members[i].view.mark)), 24)));
    }
    std::vector<std::size_t> inLevel(levels, 0);
    std::vector<std::size_t> place(f.members.size(), 0);
    for (std::size_t i = 0; i < f.members.size(); ++i) place[i] = inLevel[p.level[i]]++;
    const std::size_t widest = inLevel.empty() ? 0 : *std::max_element(inLevel.begin(), inLevel.end());

    Drawing d;
    d.title = "load path: loads come from above, each line leads from a member to the one that carries it";
    d.width = 20 + static_cast<double>(widest) * (boxWidth + kGapX);
    d.height = 20 + static_cast<double>(levels == 0 ? 0 : levels - 1) * kStepY + kBoxHeight + 14;
    const auto left = [&](std::size_t i) {
        const double all = static_cast<double>(inLevel[p.level[i]]) * (boxWidth + kGapX) - kGapX;
        return (d.width - all) / 2 + static_cast<double>(place[i]) * (boxWidth + kGapX);
    };
    const auto top = [&](std::size_t i) { return 10 + static_cast<double>(p.level[i]) * kStepY; };
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        for (const std::size_t c : p.carriers[i]) {
            const Drawing::Point from{left(i) + boxWidth / 2, top(i) + kBoxHeight};
            const Drawing::Point to{left(c) + boxWidth / 2, top(c)};
            d.shapes.push_back(Drawing::Polyline{{from, to}, Drawing::Ink::Full, Drawing::Dash::Solid, 1.0});
            d.shapes.push_back(Drawing::Polyline{{{to.x - 4, to.y - 7}, to, {to.x + 4, to.y - 7}}, Drawing::Ink::Full, Drawing::Dash::Solid, 1.0});
        }
        // What carries others down to the ground stands on a hatched strip.
        if (p.carriers[i].empty() && !p.resting[i].empty())
            d.shapes.push_back(Drawing::Rect{left(i), top(i) + kBoxHeight + 2, boxWidth, 7, true, Drawing::Ink::Faint});
        d.shapes.push_back(Drawing::Rect{left(i), top(i), boxWidth, kBoxHeight, false, Drawing::Ink::Full});
        d.shapes.push_back(Drawing::Text{{left(i) + boxWidth / 2, top(i) + 16}, f.members[i].view.mark, Drawing::Text::Anchor::Middle, Drawing::Ink::Full, 12});
    }
    return d;
}

} // namespace spanwright::report
