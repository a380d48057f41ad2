// SPDX-License-Identifier: MIT
#include "engine/report/on_the_way.h"

#include <utility>

#include "engine/meaning/typeset.h"
#include "engine/report/equation.h"
#include "engine/report/words.h"

namespace spanwright::report {

namespace {

constexpr std::size_t kInOneLine = 5; ///< numbers that one line tells, where they come from several places

} // namespace

std::vector<Block> OnTheWay::blocks(const std::vector<job::Working::Aside>& asides, const std::string& row, const std::string& name) {
    std::vector<Block> out;
    // Known numbers first: the steps below may need them.
    struct Before {
        Line line;
        Inlines words;
        std::size_t count = 0;
    };
    std::map<std::string, Before> before; // by row, in the order of ids
    std::vector<std::string> order;
    for (const job::Working::Aside& a : asides) {
        const std::string formula = meaning::plain(a.symbol) + " = " + meaning::plain(a.formula);
        const std::string all = a.name + " | " + formula + " | " + meaning::plain(a.putIn) + " | " + a.shown;
        const auto [worked, fresh] = m_worked.try_emplace(all, Line{row, name});
        if (!fresh && worked->second.id != row && !a.shown.empty()) {
            auto [at, first] = before.try_emplace(worked->second.id, Before{worked->second, {}, 0});
            if (first) order.push_back(worked->second.id);
            Inlines& words = at->second.words;
            ++at->second.count;
            if (!words.empty()) words.push_back(plainText("; "));
            for (Inline& i : callMarked(a.name)) words.push_back(std::move(i));
            words.push_back(plainText(" = " + a.shown));
            continue;
        }
        const auto [known, firstTime] = m_formulas.try_emplace(formula, Line{row, name});
        const bool elsewhere = !firstTime && meaning::plain(a.putIn) != meaning::plain(a.formula);
        std::vector<Block> steps = asideBlocks(a, elsewhere);
        if (elsewhere && known->second.id != row) {
            if (auto* lead = std::get_if<Paragraph>(&steps.front().is)) {
                lead->text.push_back(faintText(", formula at "));
                lead->text.push_back(nameLink(known->second.id, known->second.name));
            }
        }
        for (Block& b : steps) out.push_back(std::move(b));
    }
    std::vector<Block> known;
    // Several in one line, as long as it can be taken in: what a reader needs is the numbers, and where their steps are.
    Inlines text;
    std::size_t numbers = 0;
    const auto flush = [&] {
        if (!text.empty()) known.push_back({Paragraph{std::exchange(text, {})}});
        numbers = 0;
    };
    for (const std::string& id : order) {
        auto& [line, words, count] = before.at(id);
        if (numbers + count > kInOneLine) flush();
        numbers += count;
        text.push_back(faintText(text.empty() ? "on the way, worked out at " : "; at "));
        text.push_back(nameLink(line.id, line.name));
        text.push_back(faintText(": "));
        text.insert(text.end(), words.begin(), words.end());
    }
    flush();
    for (Block& b : out) known.push_back(std::move(b));
    return known;
}

} // namespace spanwright::report
