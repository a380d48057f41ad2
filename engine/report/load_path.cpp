// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstdint>
#include <map>
#include <set>
#include <utility>
#include <vector>

#include "engine/report/build.h"
#include "engine/report/load_path.h"

namespace spanwright::report {

namespace {

/// Longest way from the top, over the arrows that close no ring: two members may well take values from one another
/// (a tie gives its strength to the joist whose lift it carries).
void setLevels(LoadPath& p) {
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

} // namespace

LoadPath loadPathOf(const JobFacts& f) {
    LoadPath p;
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

namespace {

constexpr std::size_t kMaxDepth = 30;
constexpr std::size_t kMaxItems = 400;

Bullets::Item itemOf(const JobFacts& f, const LoadPath& p, std::size_t member, std::size_t depth, std::vector<char>& shown, std::size_t& left) {
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
    const LoadPath p = loadPathOf(f);
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

} // namespace spanwright::report
